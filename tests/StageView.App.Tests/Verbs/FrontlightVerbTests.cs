using System.Text.Json;

namespace StageView.App.Tests.Verbs;

/// <summary><c>frontlight</c> as a user runs it, from the demo's venue to a look that <c>lux</c> reads.</summary>
public sealed class FrontlightVerbTests : IDisposable
{
    private static readonly string s_rig = Repo.File("scenes", "foundry", "foundry.rig.jsonc");

    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private string Venue => _folder.File("today.venue.jsonc", File.ReadAllText(Repo.File("scenes", "foundry", "two-cities-on.venue.jsonc")));

    [Fact]
    public void What_is_written_measures_as_the_answer_says()
    {
        var (aimed, to) = (_folder["aimed.venue.jsonc"], _folder["sheets"]);
        var run = CommandRun.Of("frontlight", s_rig, "--venue", Venue, "--least", "300", "--out", to, "--aimed", aimed);
        Assert.Equal(0, run.ExitCode);
        Assert.Contains("held at 21 of 21 positions", run.Output, StringComparison.Ordinal);
        Assert.Contains("its beam would enter standing audience: rail lantern 1, ", run.Output, StringComparison.Ordinal);
        Assert.Contains("Nothing here says that it is safe", run.Output, StringComparison.Ordinal);
        Assert.Equal(["front-light-focus.csv", "front-light-not-used.csv", "front-light-positions.csv", "front-light-to-hang.csv", "front-light.html",
            "front-light.json", "front-light.look.jsonc", "front-light.pdf"], Directory.GetFiles(to).Select(Path.GetFileName).Order(StringComparer.Ordinal));
        using var answer = JsonDocument.Parse(File.ReadAllText(Path.Combine(to, "front-light.json")));
        var told = answer.RootElement.GetProperty("positions").EnumerateArray()
            .ToDictionary(p => p.GetProperty("name").GetString()!, p => p.GetProperty("lux").GetDouble());

        var lux = CommandRun.Of("lux", s_rig, "--venue", aimed, "--look", Path.Combine(to, "front-light.look.jsonc"), "--on", "actor-line",
            "--measure", "vertical:0,-1", "--indirect", "off", "--json");
        Assert.Equal(0, lux.ExitCode);
        using var measured = JsonDocument.Parse(lux.Output);
        var read = measured.RootElement.GetProperty("areas")[0].GetProperty("lux").EnumerateArray().Select(v => v.GetDouble()).ToList();
        Assert.Equal(21, read.Count);
        Assert.All(read, (v, i) => Assert.Equal(told[$"actor-line {i + 1}"], v, .002 * v));
        Assert.True(read.Min() >= 299.8);
        lux = CommandRun.Of("lux", s_rig, "--venue", aimed, "--look", Path.Combine(to, "front-light.look.jsonc"), "--on", "actor-line",
            "--measure", "vertical:0,-1", "--least", "299.8", "--modelling", "0.295-0.605");
        Assert.Contains("every position is within the limits given", lux.Output, StringComparison.Ordinal);
    }

    // Between amounts that can be held none is lost to a choice that is good but for its modelling.
    [Theory]
    [InlineData("2600")]
    [InlineData("2900")]
    [InlineData("3200")]
    public void What_can_be_held_with_more_can_be_held_with_less(string least)
    {
        var run = CommandRun.Of("frontlight", s_rig, "--venue", Venue, "--least", least, "--on", "0,2.5,1.5", "--on", "-7.5,4,0");
        Assert.Contains("held at 2 of 2 positions", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public void What_the_house_cannot_hold_is_a_no_with_the_worst_first()
    {
        var run = CommandRun.Of("frontlight", s_rig, "--venue", Venue, "--least", "20000", "--json");
        Assert.Equal(1, run.ExitCode);
        using var answer = JsonDocument.Parse(run.Output);
        var shorts = answer.RootElement.GetProperty("positions").EnumerateArray().Select(p => p.GetProperty("shortBy").GetDouble()).ToList();
        Assert.True(shorts[0] > 0);
        Assert.Equal(shorts.OrderDescending(), shorts);
        Assert.NotEmpty(answer.RootElement.GetProperty("toHang").EnumerateArray());
        Assert.Contains("local code and licensed practice decide", answer.RootElement.GetProperty("caution").GetString(), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("there are no lanterns to choose from", "frontlight", "RIG", "--least", "300")]
    [InlineData("--aimed writes a venue file anew", "frontlight", "RIG", "--least", "300", "--aimed", "a.venue.jsonc")]
    [InlineData("--front-light goes on the advance sheet of a venue", "paperwork", "RIG", "--out", "OUT", "--front-light", "300")]
    public void What_cannot_be_done_is_one_line(string says, params string[] words)
    {
        var run = CommandRun.Of([.. words.Select(w => w.Replace("RIG", s_rig, StringComparison.Ordinal)
            .Replace("OUT", _folder["paper"], StringComparison.Ordinal))]);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(says, run.Errors, StringComparison.Ordinal);
        Assert.Single(run.Errors.Trim().Split('\n'));
        run.AssertPlainWords();
        Assert.False(Directory.Exists(_folder["paper"]));
    }
}
