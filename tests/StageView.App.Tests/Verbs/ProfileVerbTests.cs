using System.Globalization;
using System.Text.Json;
using StageView.App.Asking;
using StageView.Rig.Sheets;
using StageView.Show;

namespace StageView.App.Tests.Verbs;

/// <summary>From a data sheet to a lit fixture, as someone types it.</summary>
public sealed class ProfileVerbTests
{
    [Fact]
    public void A_head_is_written_checked_hung_and_lit()
    {
        using var folder = new TempFolder();
        var run = CommandRun.Of("profile", folder["fixtures/wash-head"], "--sheet", "sheet", "--lumens", "12000 @ p. 3", "--beam", "10-40", "--pan", "540",
            "--tilt", "270", "--channels", "pan, pan fine, tilt, tilt fine, dimmer, zoom");
        Assert.Equal(0, run.ExitCode);
        run.AssertPlainWords();
        Assert.Contains("\"flux\": 12000, // lm: sheet, p. 3", File.ReadAllText(folder["fixtures/wash-head.fixture.jsonc"]), StringComparison.Ordinal);

        var rig = folder.File("a.rig.jsonc", """
            { "name": "a", "profiles": ["fixtures"], "hangs": [{ "name": "head", "profile": "wash-head", "at": [0, 0, 6], "patch": "1.1" }],
              "scenery": [{ "name": "floor", "shape": "plane", "size": [12, 12, 1], "albedo": 0.2 }] }
            """);
        Assert.Equal(0, CommandRun.Of("check", rig).ExitCode);

        // 12,000 lm straight down from 5.4 m, zoomed to the middle, 25.06°, its field at 1.12 of that: between two cones of even intensity,
        // Φ / (2π(1 - cos α)) / h² with α of the field and of the beam.
        var lux = CommandRun.Of("lux", rig, "--full", "head", "--clear-air", "--on", "0,0,0.01", "--json");
        Assert.Equal(0, lux.ExitCode);
        using var answer = JsonDocument.Parse(lux.Output);
        var found = answer.RootElement.GetProperty("points")[0].GetProperty("lux").GetProperty("horizontal").GetDouble();
        static double Even(double degrees) => 12_000 / (2 * Math.PI * (1 - Math.Cos(degrees / 2 * Math.PI / 180))) / (5.39 * 5.39);
        Assert.InRange(found, Even(25.06 * 1.12), Even(25.06) * 1.02);
        Assert.Equal(2, CommandRun.Of("profile", folder["fixtures/wash-head"], "--lumens", "1").ExitCode);
    }

    [Theory]
    [InlineData("--lumens", "abc", "--lumens: \"abc\" is no number in lm")]
    [InlineData("--beam", "20", "how much light it gives is needed: lumens, or a photometric file")]
    [InlineData("--channels", "tlt", "did you mean \"tilt\"?")]
    public void What_is_wrong_ends_with_2_and_writes_nothing(string option, string value, string says)
    {
        using var folder = new TempFolder();
        var run = CommandRun.Of("profile", folder["a"], option, value);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(says, run.Errors, StringComparison.Ordinal);
        Assert.Empty(Directory.EnumerateFileSystemEntries(folder.Path));
    }

    /// <summary>Each wrong answer is told and asked again, an empty one takes what stands in brackets.</summary>
    [Fact]
    public void It_asks_question_by_question()
    {
        var answers = SheetQuestion.All.ToDictionary(q => q.Key, _ => new List<string> { "" });
        answers["photometry"] = ["none.ies", ""];
        answers["lumens"] = ["", "bright", "4000 lm @ p. 1"];
        answers["channels"] = ["dimmer, zom", "dimmer"];
        var input = new StringReader(string.Join('\n', SheetQuestion.All.Where(q => q.Key != "kelvin").SelectMany(q => answers[q.Key])));
        var output = new StringWriter(CultureInfo.InvariantCulture);
        var reader = new SheetReader("");
        Assert.True(reader.TryAnswer("kelvin", "3200", out _));
        new SheetInterview(input, output).Ask(reader, key => key == "kelvin");
        var sheet = reader.Read("a", out _)!;
        Assert.Equal((4000f, "data sheet, p. 1", "dimmer", 3200f), (sheet.Lumens!.Value, sheet.Lumens.Source, sheet.Channels.Value, sheet.Kelvin.Value));
        foreach (var says in (string[])["none.ies: no such file", "how much light it gives is needed", "is no number in lm", "did you mean \"zoom\"?"])
        {
            Assert.Contains(says, output.ToString(), StringComparison.Ordinal);
        }

        Assert.DoesNotContain("Colour temperature", output.ToString(), StringComparison.Ordinal);
        Assert.Throws<StopException>(() => new SheetInterview(new StringReader(""), output).Ask(new SheetReader(""), _ => false));
    }
}
