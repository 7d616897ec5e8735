using System.Globalization;
using StageView.Rig.Scene;
using StageView.Rig.Source;

namespace StageView.Rig.Tests.Scene;

/// <summary>Wrong scene files get one clear line each, with the place.</summary>
public sealed class RefusalTests : IDisposable
{
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    [Theory]
    [InlineData("{ \"name\": \"x\",\n \"hang\": [] }", 2, "$.hang", "did you mean \"hangs\"")]
    [InlineData("{ \"name\": \"x\",\n\n \"haze\": { \"extinction\": \"thick\" } }", 3, "$.haze.extinction",
        "should be a number from 0 to 5, but is the text \"thick\"")]
    [InlineData("{ \"cameras\": [\n { \"name\": \"a\", \"at\": [0, 0], \"lookAt\": [0, 1, 0] } ] }", 2, "$.cameras[0].at", "holds 2")]
    [InlineData("{ \"cameras\": [\n { \"name\": \"a\", \"at\": [0, 0, 9], \"lookAt\": [0, 0, 0] } ] }", 2, "$.cameras[0]", "looks along its own up")]
    [InlineData("{ \"hangs\": [\n { \"name\": \"a\", \"profile\": \"spot-hed\" } ] }", 2, "$.hangs[0].profile", "did you mean \"spot-head\"")]
    [InlineData("{ \"hangs\": [\n { \"name\": \"a\", \"profile\": \"spot-head\", \"mode\": \"Fulll\" } ] }", 2, "$.hangs[0].mode", "did you mean \"Full\"")]
    [InlineData("{ \"hangs\": [\n { \"name\": \"a\", \"profile\": \"spot-head\", \"patch\": \"1.500\" } ] }", 2, "$.hangs[0].patch",
        "cross the end of universe 1")]
    [InlineData("{ \"hangs\": [\n { \"name\": \"a\", \"profile\": \"spot-head\", \"patch\": \"0.5\" } ] }", 2, "$.hangs[0].patch", "universe.address")]
    [InlineData("{ \"hangs\": [\n { \"name\": \"a\", \"profile\": \"front-profile\",\n \"grid\": { \"from\": [0,0,0], \"acrossStep\": [1,0,0], "
        + "\"downStep\": [0,1,0], \"columns\": 10000, \"rows\": 10000 } } ] }", 3, "$.hangs[0].grid", "100000000 fixtures: a rig holds at most 50000")]
    [InlineData("{ \"hangs\": [\n { \"name\": \"a\", \"profile\": \"spot-head\", \"carriedBy\": { \"fixture\": \"b\", \"part\": \"c\" } } ] }", 2,
        "$.hangs[0].carriedBy", "no fixture named \"b\"")]
    [InlineData("{ \"mirrors\": [\n { \"name\": \"m\", \"corners\": [[0,0,0],[1,0,0],[1,0,1],[0,1,1]] } ] }", 2, "$.mirrors[0]", "not a flat convex outline")]
    [InlineData("{ \"include\": [\n \"no.rig.jsonc\"] }", 1, "$.include", "no file no.rig.jsonc")]
    [InlineData("{ \"name\": \"x\",\n \"name\": \"y\" }", 2, "$.name", "written twice")]
    [InlineData("{ \"name\": \"x\",\n [ }", 2, "$", "not valid JSON")]
    [InlineData("{ \"name\": \"x\",\n \"bounces\": 2 // two\n // why\n\n \"hangs\": [] }", 5, "$", "A comma may be missing at the end of line 2.")]
    [InlineData("{ \"hangs\": [\n { \"name\": \"a\" }\n\n { \"name\": \"b\" } ] }", 4, "$", "A comma may be missing at the end of line 2.")]
    [InlineData("", 1, "$", "the file is empty")]
    [InlineData("[]", 1, "$", "should be an object")]
    public void Each_wrong_file_is_told_where_and_why(string text, int line, string path, string says)
    {
        var problems = _temp.Refused(text);
        Assert.Contains(problems, p => p.Line == line && p.Path == path && p.Text.Contains(says, StringComparison.Ordinal));
    }

    /// <summary>Addresses are 1 to 512 (ANSI E1.11), universes 1 to 63999 (ANSI E1.31); wherever one is written.</summary>
    [Theory]
    [InlineData("1.513")]
    [InlineData("1.600")]
    [InlineData("1.999")]
    [InlineData("1.0")]
    [InlineData("1.01")]
    [InlineData("64000.1")]
    [InlineData("70000.1")]
    [InlineData("99999.512")]
    [InlineData("1,5")]
    public void An_address_that_is_none_is_refused_wherever_it_is_written(string address)
    {
        const string Hang = "\"name\": \"a\", \"profile\": \"front-profile\"";
        var a = $"\"{address}\"";
        foreach (var rig in (string[])[$"\"hangs\": [ {{ {Hang}, \"patch\": {a} }} ]", $"\"hangs\": [ {{ {Hang}, \"patch\": [\"none\", {a}] }} ]",
            $"\"hangs\": [ {{ {Hang}, \"patch\": {{ \"start\": {a} }} }} ]", $"\"hangs\": [ {{ {Hang}, \"patch\": {{ \"start\": [{a}] }} }} ]",
            $"\"hangs\": [ {{ {Hang}, \"members\": [ {{ \"member\": 1, \"patch\": {a} }} ] }} ]",
            $"\"hangs\": [ {{ {Hang} }} ], \"patchRuns\": [ {{ \"start\": {a}, \"fixtures\": [\"a\"] }} ]"])
        {
            var problems = _temp.Refused($"{{ {rig} }}");
            Assert.Contains(problems, p => p.Text.Contains($"\"{address}\" should be an address", StringComparison.Ordinal));
        }

        var path = _temp.Write("a.rig.jsonc", $"{{ \"hangs\": [ {{ {Hang} }} ] }}");
        var venue = _temp.Write("a.venue.jsonc", $"{{ \"patchRuns\": [ {{ \"start\": {a}, \"fixtures\": [\"a\"] }} ] }}");
        Assert.False(RigLoader.TryLoad(path, TempRig.WithAssets with { Venue = venue }, out _, out var there));
        Assert.Contains(there, p => p.File.EndsWith("a.venue.jsonc", StringComparison.Ordinal)
            && p.Text.Contains("should be an address", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("1.1")]
    [InlineData("9.99")]
    [InlineData("63999.1")]
    [InlineData("59999.499")]
    [InlineData("999.503")]
    public void Every_address_that_is_one_is_taken(string address) => Assert.Equal(address,
        _temp.Load($"{{ \"hangs\": [ {{ \"name\": \"a\", \"profile\": \"front-profile\", \"patch\": \"{address}\" }} ] }}").Fixtures[0].Patch[0].Start
            .ToString());

    [Fact]
    public void A_universe_that_is_none_has_no_merge_rule() => Assert.Contains(
        _temp.Refused("{ \"network\": { \"mergeByUniverse\": { \"64000\": \"latest\" } } }"),
        p => p.Text.Contains("universe numbers, 1 to 63999", StringComparison.Ordinal));

    /// <summary>Pixels run on through universes, but not past the last.</summary>
    [Fact]
    public void A_run_of_pixels_stays_within_the_universes()
    {
        _temp.Write("wall.fixture.jsonc", """
            { "name": "Wall", "geometry": [ { "name": "face", "pixels": { "columns": 32, "rows": 32, "size": [1, 1], "luminance": 1000 } } ],
              "modes": [ { "name": "One", "channels": [], "pixels": [ { "geometry": "face", "order": "RGB" } ] } ] }
            """);
        Assert.Contains(
            _temp.Refused("{ \"profiles\": [\".\"], \"hangs\": [ { \"name\": \"a\", \"profile\": \"wall\", \"patch\": \"63999.1\" } ] }"),
            p => p.Text.Contains("leaves the last universe, 63999", StringComparison.Ordinal));
    }

    [Fact]
    public void A_closer_of_the_wrong_kind_is_no_missing_comma() =>
        Assert.DoesNotContain(_temp.Refused("{ \"hangs\": [\n 1 } }"), p => p.Text.Contains("comma", StringComparison.Ordinal));

    [Fact]
    public void All_problems_are_told_not_only_the_first()
    {
        var problems = _temp.Refused("""
            { "nam": "x", "bounces": 9,
              "hangs": [ { "profile": "nothing" }, { "name": "b", "profile": "front-profile", "patch": "1" } ] }
            """);
        Assert.Equal(5, problems.Count(p => p.Severity == ProblemSeverity.Error));
    }

    [Fact]
    public void Overlapping_addresses_name_both_fixtures_and_the_address()
    {
        var problem = Assert.Single(_temp.Refused("""
            { "hangs": [
              { "name": "a", "profile": "front-profile", "patch": "3.10" },
              { "name": "b", "profile": "front-profile", "patch": "3.13" } ] }
            """));
        Assert.Equal(3, problem.Line);
        Assert.Contains("\"b\" at 3.13 (4 addresses) overlaps \"a\" (line 2) at 3.13", problem.Text, StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_wrong_with_each_of_a_row_is_told_once()
    {
        var problems = _temp.Refused("""
            { "hangs": [
              { "name": "row", "profile": "spot-head", "mode": "Huge", "row": { "from": [0, 0, 6], "to": [4, 0, 6], "count": 3 } },
              { "name": "other", "profile": "spot-head", "mode": "Huge" } ] }
            """);
        Assert.Equal([2, 3], problems.Select(p => p.Line));
        Assert.All(problems, p => Assert.Equal("the profile \"Spot head\" has no mode \"Huge\". It has: Full, Short", p.Text));
    }

    [Fact]
    public void Deep_nesting_and_a_missing_file_are_refused()
    {
        Assert.Contains(_temp.Refused(new string('[', 100_000)), p => p.Text == "nested deeper than 64 levels");
        Assert.False(RigLoader.TryLoad(Path.Combine(_temp.Folder, "gone.jsonc"), out _, out var problems));
        Assert.Contains("no such file", Assert.Single(problems).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void A_file_that_includes_itself_is_refused()
    {
        var problems = _temp.Refused("{ \"include\": \"a.rig.jsonc\" }");
        Assert.Contains("already part of this rig", Assert.Single(problems).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Any_bytes_give_problems_never_an_exception()
    {
        var random = new Random(11);
        var good = File.ReadAllBytes(Repo.Foundry);
        for (var i = 0; i < 150; i++)
        {
            var bytes = good.AsSpan(0, random.Next(good.Length)).ToArray();
            for (var k = 0; k < 4 && bytes.Length > 0; k++)
            {
                bytes[random.Next(bytes.Length)] = (byte)random.Next(256);
            }

            var path = Path.Combine(_temp.Folder, i.ToString(CultureInfo.InvariantCulture) + ".jsonc");
            File.WriteAllBytes(path, bytes);
            if (!RigLoader.TryLoad(path, out _, out var problems))
            {
                Assert.NotEmpty(problems);
            }
        }
    }
}
