using System.Text.Json;

namespace StageView.App.Tests.Verbs;

public sealed class CheckVerbTests
{
    private static string Foundry => Repo.File("scenes", "foundry", "foundry.rig.jsonc");

    [Fact]
    public void The_demo_rig_has_what_the_scenario_needs()
    {
        var run = CommandRun.Of("check", Foundry, "--json");
        Assert.Equal(0, run.ExitCode);
        using var answer = JsonDocument.Parse(run.Output);
        var summary = answer.RootElement.GetProperty("summary");
        var counts = summary.GetProperty("types").EnumerateArray()
            .ToDictionary(t => t.GetProperty("profile").GetString()!, t => t.GetProperty("count").GetInt32());
        Assert.True(counts["Spot head"] >= 24);
        Assert.True(counts["Cell batten"] >= 8);
        Assert.True(counts["Wall facet"] >= 9);
        Assert.True(counts["Winched globe"] >= 12);
        Assert.True(counts["Laser fan"] >= 5);
        Assert.True(counts["Front profile"] >= 10);
        Assert.InRange(summary.GetProperty("universes").GetArrayLength(), 18, 24);
    }

    [Fact]
    public void A_missing_profile_is_one_line_that_names_file_line_and_path()
    {
        using var folder = new TempFolder();
        var text = File.ReadAllText(Foundry).Replace("spot-head", "spot-haed", StringComparison.Ordinal).Replace("Spot head", "Spot haed",
            StringComparison.Ordinal);
        var rig = folder.File("broken.rig.jsonc", text);
        var run = CommandRun.Of("check", rig);
        Assert.Equal(1, run.ExitCode);
        Assert.Matches(@"broken\.rig\.jsonc:\d+: \$\S+ error: ", run.Output);
        run.AssertPlainWords();
    }

    [Fact]
    public void A_file_that_is_no_JSON_is_refused_with_its_line()
    {
        using var folder = new TempFolder();
        var rig = folder.File("half.rig.jsonc", "{\n  \"name\": \"half\",\n  \"hangs\": [ {");
        var run = CommandRun.Of("check", rig);
        Assert.Equal(1, run.ExitCode);
        Assert.Matches(@"half\.rig\.jsonc:\d+", run.Output);
        run.AssertPlainWords();
    }

    [Fact]
    public void One_of_a_kind_is_told_in_the_singular()
    {
        using var folder = new TempFolder();
        var well = CommandRun.Of("check", Repo.File("scenes", "one-beam", "one-beam.rig.jsonc"));
        Assert.Contains("1 fixture, 1 universe, ", well.Output, StringComparison.Ordinal);
        Assert.Contains("1 beam, 0 lasers, ", well.Output, StringComparison.Ordinal);
        var wrong = CommandRun.Of("check", folder.File("wrong.rig.jsonc", """{ "name": "wrong", "hangs": [{ "name": "a", "profile": "none-such" }] }"""));
        Assert.EndsWith("1 error: the rig can't be used as written", wrong.Output.TrimEnd(), StringComparison.Ordinal);
    }

    [Fact]
    public void A_rig_that_is_not_there_is_a_wrong_question()
    {
        var run = CommandRun.Of("check", "no/such.rig.jsonc");
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("no/such.rig.jsonc", run.Errors, StringComparison.Ordinal);
        run.AssertPlainWords();
    }

    [Theory]
    [InlineData("check")]
    [InlineData("no-such-verb")]
    [InlineData("check", "a", "b", "c")]
    public void Wrong_usage_ends_with_2_and_says_where_help_is(params string[] args)
    {
        var run = CommandRun.Of(args);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("--help", run.Errors, StringComparison.Ordinal);
    }

    /// <summary>Whatever its kind, a file that can't be used is a no of `check`, and a wrong question of a verb that should use it.</summary>
    [Fact]
    public void A_file_that_can_not_be_used_ends_the_same_whatever_its_kind()
    {
        using var folder = new TempFolder();
        foreach (var name in (string[])["bad.gdtf", "bad.mvr", "bad.rig.jsonc"])
        {
            File.WriteAllText(folder.File(name), "nonsense");
            var run = CommandRun.Of("check", folder.File(name));
            Assert.True(run.ExitCode == 1 && run.Output.Contains("can't be used as written", StringComparison.Ordinal), name + ": " + run.Output + run.Errors);
        }

        File.WriteAllText(folder.File("names.rig.jsonc"), "{ \"profiles\": [\".\"], \"hangs\": [ { \"name\": \"a\", \"profile\": \"bad\" } ] }");
        Assert.Equal(1, CommandRun.Of("check", folder.File("names.rig.jsonc")).ExitCode);
        Assert.Equal(2, CommandRun.Of("explain", folder.File("names.rig.jsonc"), "a").ExitCode);
        Assert.Equal(2, CommandRun.Of("explain", folder.File("bad.rig.jsonc"), "a").ExitCode);
        Assert.Equal(2, CommandRun.Of("import", folder.File("bad.mvr"), "--out", folder.File("in")).ExitCode);
        Assert.All((string[])["gone.gdtf", "gone.mvr", "gone.rig.jsonc"], name => Assert.Equal(2, CommandRun.Of("check", folder.File(name)).ExitCode));
    }

    /// <summary>A GDTF and an MVR can be checked by themselves, each mode and each fixture.</summary>
    [Fact]
    public void A_gdtf_and_an_mvr_are_checked_by_themselves()
    {
        using var folder = new TempFolder();
        Assert.Equal(0, CommandRun.Of("export", Repo.File("scenes", "foundry", "foundry.rig.jsonc"), "--out", folder.File("f.mvr")).ExitCode);
        var mvr = CommandRun.Of("check", folder.File("f.mvr"));
        Assert.True(mvr.ExitCode == 0 && mvr.Output.Contains("Spot head", StringComparison.OrdinalIgnoreCase), mvr.Output + mvr.Errors);
        using (var zip = System.IO.Compression.ZipFile.OpenRead(folder.File("f.mvr")))
        {
            System.IO.Compression.ZipFileExtensions.ExtractToFile(zip.GetEntry("spot-head.gdtf")!, folder.File("spot-head.gdtf"));
        }

        var gdtf = CommandRun.Of("check", folder.File("spot-head.gdtf"));
        Assert.True(gdtf.ExitCode == 0 && gdtf.Output.Contains("2 fixtures", StringComparison.Ordinal), gdtf.Output + gdtf.Errors);
    }

    /// <summary>A GDTF of our own with an attribute and an element that mean nothing here.</summary>
    [Fact]
    public void What_a_profile_holds_and_is_not_understood_is_told()
    {
        using var folder = new TempFolder();
        using (var zip = System.IO.Compression.ZipFile.Open(folder.File("own.gdtf"), System.IO.Compression.ZipArchiveMode.Create))
        using (var to = new StreamWriter(zip.CreateEntry("description.xml").Open()))
        {
            to.Write(
                "<GDTF><FixtureType Name=\"T\"><Odd/><Geometries><Beam Name=\"B\"/></Geometries><DMXModes><DMXMode Name=\"One\" "
                + "Geometry=\"B\"><DMXChannels><DMXChannel Offset=\"1\" Geometry=\"B\"><LogicalChannel Attribute=\"Wobble\"><ChannelFunction "
                + "Attribute=\"Wobble\"/></LogicalChannel></DMXChannel></DMXChannels></DMXMode></DMXModes></FixtureType></GDTF>");
        }

        var run = CommandRun.Of("check", folder.File("a.rig.jsonc", "{ \"hangs\": [ { \"name\": \"a\", \"profile\": \"own\", \"patch\": \"1.1\" } ] }"));
        Assert.Equal(0, run.ExitCode);
        Assert.Contains("own.gdtf: not simulated or not understood: attribute Wobble", run.Output, StringComparison.Ordinal);
        Assert.Contains("own.gdtf: not simulated or not understood: element Odd", run.Output, StringComparison.Ordinal);
    }
}
