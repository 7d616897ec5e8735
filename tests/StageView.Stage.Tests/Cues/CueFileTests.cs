using System.Text;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Source;
using StageView.Stage.Cues;
using StageView.Stage.Looks;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Cues;

/// <summary>The written language of shows: times, fades, chases, patterns, and what is said of mistakes.</summary>
public sealed class CueFileTests
{
    private static readonly RigScene Rig = Scene([.. Enumerable.Range(0, 5).Select(i =>
        Hang(Profile(HeadNodes(), HeadChannels()), i, 1, 1 + (10 * i)) with { Name = $"head {i + 1}", Number = $"{i + 1}", Groups = ["heads"] })]);

    /// <summary>3x²-2x³ is .15625 at a quarter; x² is .0625, 1-(1-x)² is .4375.</summary>
    [Theory]
    [InlineData("linear", .25)]
    [InlineData("smooth", .15625)]
    [InlineData("slowStart", .0625)]
    [InlineData("slowEnd", .4375)]
    public void Fades_run_by_their_curves_after_their_delay(string curve, double share)
    {
        var show = Show($"\"cues\": [{{ \"time\": 1, \"fade\": 4, \"delay\": 0.5, \"curve\": \"{curve}\", "
            + $"\"set\": [{{ \"fixtures\": \"1\", \"dimmer\": 1 }}] }}]");
        Assert.Equal(0, Dimmer(show, 1.5), 1e-4);
        Assert.Equal(share, Dimmer(show, 2.5), 1e-4);
        Assert.Equal(1, Dimmer(show, 5.5), 1e-4);
    }

    [Fact]
    public void Fixtures_start_one_after_another_in_the_order_asked_for()
    {
        var show = Show("\"cues\": [{ \"time\": 0, \"fade\": 1, "
            + "\"set\": [{ \"fixtures\": \"heads\", \"order\": \"backward\", \"over\": 4, \"dimmer\": [0.2, 1] }] }]");
        double[] wanted = [.5, .8, .6, .4, .2];
        var now = Play(show, 4.5);
        for (var i = 0; i < 5; i++)
        {
            Assert.Equal(wanted[i], now(i), 1e-3);
        }
    }

    [Fact]
    public void Outward_begins_in_the_middle_and_scattered_is_the_same_every_time()
    {
        Assert.Equal("head 3, head 2, head 4, head 1, head 5", string.Join(", ", SelectionOrder.Of(Rig.Fixtures, "outward").Select(f => f.Name)));
        Assert.Equal("head 1, head 5, head 2, head 4, head 3", string.Join(", ", SelectionOrder.Of(Rig.Fixtures, "inward").Select(f => f.Name)));
        var scattered = SelectionOrder.Of(Rig.Fixtures, "scattered").Select(f => f.Index.Value).ToArray();
        Assert.Equal(scattered, SelectionOrder.Of(Rig.Fixtures, "scattered").Select(f => f.Index.Value));
        Assert.Equal([0, 1, 2, 3, 4], scattered.Order());
        Assert.NotEqual([0, 1, 2, 3, 4], scattered);
    }

    /// <summary>By hand: 25 frames a second from 01:00:00:00; 01:00:02:05 is 2.2 s on.</summary>
    [Theory]
    [InlineData("2.2", 2.2)]
    [InlineData("\"0:02.2\"", 2.2)]
    [InlineData("\"1:02.5\"", 62.5)]
    [InlineData("\"01:00:02:05\"", 2.2)]
    public void Times_are_seconds_minutes_or_timecode(string written, double seconds) =>
        Assert.Equal(seconds, Assert.Single(Show($"\"cues\": [{{ \"time\": {written}, \"name\": \"a\" }}]").Cues).Seconds, 1e-9);

    [Theory]
    [InlineData("sine", 1.5, .5)]
    [InlineData("saw", 1.5, .75)]
    [InlineData("swing", 1.5, .5)]
    [InlineData("pulse", 1.5, 1)]
    [InlineData("pulse", 2.25, 0)]
    public void Chases_run_over_what_the_cues_set(string shape, double at, double wanted)
    {
        // A period of 2 s from 1 s on: at 1.5 s a quarter of it is over.
        var show = Show($"\"chases\": [{{ \"from\": 1, \"to\": 5, \"fixtures\": \"1\", \"shape\": \"{shape}\", \"period\": 2 }}]");
        Assert.Equal(0, Dimmer(show, .5), 1e-3);
        Assert.Equal(wanted, Dimmer(show, at), 2e-3);
    }

    [Fact]
    public void Patterns_light_pixels_in_turn_and_along_a_line()
    {
        // Chase: eight stretches, every fourth lit; after an eighth of a second at speed 1 the next ones.
        Assert.Equal("#000#000", Row("chase", 0.01));
        Assert.Equal("0#000#00", Row("chase", .15));
        Assert.Equal("########", Row("solid", .5));
        var gradient = Levels("gradient", 0.001);
        Assert.True(gradient.Zip(gradient.Skip(1)).All(p => p.First > p.Second), string.Join(' ', gradient));
        var wave = Levels("wave", 0.001);
        for (var i = 0; i < 4; i++)
        {
            Assert.Equal(wave[i], wave[7 - i], 3d);
        }
    }

    [Fact]
    public void Cues_set_the_pixels_of_what_has_nothing_else()
    {
        var show = Show("\"cues\": [{ \"time\": 0, \"fade\": 2, \"set\": [{ \"fixtures\": \"all\", \"colour\": \"#ffffff\" }] }]", Strip());
        show.Play(0);
        Assert.Equal(0, show.Levels.LevelsOf(0)[0]);
        PlayTo(show, 1);
        Assert.Equal(128, show.Levels.LevelsOf(0)[0], 1d);
    }

    [Theory]
    [InlineData("\"cue\": []", 2, "$.cue", "\"cue\" is not a key of a cue file: did you mean \"cues\"?")]
    [InlineData("\"cues\": [{\n \"time\": \"late\" }]", 3, "$.cues[0].time", "is no time: seconds, minutes:seconds such as \"1:02.5\", or timecode")]
    [InlineData("\"cues\": [{\n \"time\": \"00:59:00:00\" }]", 3, "$.cues[0].time", "not before the show's start")]
    [InlineData("\"cues\": [{ \"time\": 1, \"curve\": \"smoth\" }]", 2, "$.cues[0].curve", "did you mean \"smooth\"?")]
    [InlineData("\"cues\": [{ \"time\": 1, \"set\": [\n { \"fixtures\": \"haeds\", \"dimmer\": 1 }] }]", 3, "$.cues[0].set[0].fixtures",
        "did you mean \"heads\"?")]
    [InlineData("\"cues\": [{ \"time\": 1, \"set\": [{ \"fixtures\": \"1\",\n \"dimer\": 1 }] }]", 3, "$.cues[0].set[0].dimer", "did you mean \"dimmer\"?")]
    [InlineData("\"chases\": [{ \"from\": 2,\n \"to\": 1, \"fixtures\": \"1\" }]", 3, "$.chases[0].to", "ends before it starts")]
    [InlineData("\"pixels\": [{ \"from\": 2, \"to\": 3, \"fixtures\": \"1\", \"pattern\": \"waev\" }]", 2, "$.pixels[0].pattern", "did you mean \"wave\"?")]
    [InlineData("\"timecode\": { \"start\": \"1 o'clock\" }", 2, "$.timecode.start", "is no timecode hh:mm:ss:ff at 25 frames/s")]
    public void Mistakes_are_told_with_line_path_and_the_nearest_word(string body, int line, string path, string says)
    {
        Assert.Null(CueFile.TryRead(Rig, Encoding.UTF8.GetBytes($"{{ \"length\": 9,\n {body} }}"), "a.cues.jsonc", out var problems));
        Assert.Contains(problems, p => p.Line == line && p.Path == path && p.Text.Contains(says, StringComparison.Ordinal));
    }

    [Fact]
    public void What_a_fixture_cannot_do_is_a_warning_and_the_show_stands()
    {
        var json = "{ \"length\": 2, \"cues\": [{ \"time\": 0, \"set\": [{ \"fixtures\": \"heads\", \"dimmer\": 1, \"zoom\": 20 }] }] }"u8;
        var player = CueFile.TryRead(Rig, json, "a", out var problems);
        Assert.NotNull(player);
        Assert.Equal(ProblemSeverity.Warning, Assert.Single(problems).Severity);
        Assert.Contains("head 1: has no Zoom", problems[0].Text, StringComparison.Ordinal);
        Assert.Contains("nor can head 2, head 3, head 4, head 5", problems[0].Text, StringComparison.Ordinal);
    }

    /// <summary>Run with STAGEVIEW_WRITE_SCHEMA=1 to write the files anew after a key was added.</summary>
    [Theory]
    [InlineData("cues.schema.json")]
    [InlineData("look.schema.json")]
    public void Committed_schemas_are_those_of_the_key_tables(string name)
    {
        var path = Repo.File("assets", "schema", name);
        var made = name == "cues.schema.json" ? CueFile.Schema() : CueFile.LookSchema();
        if (Environment.GetEnvironmentVariable("STAGEVIEW_WRITE_SCHEMA") == "1")
        {
            File.WriteAllText(path, made);
        }

        Assert.Equal(made, File.ReadAllText(path));
    }

    private static CuePlayer Show(string body, RigScene? rig = null)
    {
        var player = CueFile.TryRead(rig ?? Rig, Encoding.UTF8.GetBytes($"{{ \"length\": 60, {body} }}"), "a.cues.jsonc", out var problems);
        Assert.True(problems.Count == 0, string.Join('\n', problems));
        return player!;
    }

    private static void PlayTo(CuePlayer show, double seconds)
    {
        for (var tick = 0; tick <= seconds * show.Rate; tick++)
        {
            show.Play(tick);
        }
    }

    private static Func<int, double> Play(CuePlayer show, double seconds)
    {
        PlayTo(show, seconds);
        return f => show.Levels.RawOf(Rig.Fixtures[f], Rig.Fixtures[f].Mode.Channels[2]) / 65535.0;
    }

    /// <summary>Played from the start each time.</summary>
    private static double Dimmer(CuePlayer show, double seconds) => Play(show, seconds)(0);

    private static string Row(string pattern, double at) => string.Concat(Levels(pattern, at).Select(v => v > 127 ? '#' : '0'));

    private static byte[] Levels(string pattern, double at)
    {
        var show = Show(
            $"\"rate\": 60, \"pixels\": [{{ \"from\": 0, \"to\": 9, \"fade\": 0, \"fixtures\": \"all\", \"pattern\": \"{pattern}\", \"angle\": 0 }}]", Strip());
        PlayTo(show, at);
        return [.. Enumerable.Range(0, 8).Select(i => show.Levels.LevelsOf(0)[3 * i])];
    }

    /// <summary>Eight pixels in a row.</summary>
    private static RigScene Strip() => Scene(Hang(Profile(
        [
            new GeometryNode
            {
                Index = 0, Name = "strip", Parent = -1, Pose = Pose.Identity,
                Pixels = new PixelGridData { Columns = 8, Rows = 1, Width = 1, Height = .1f, PeakLuminance = 1000 },
            },
        ],
        [], blocks: [new PixelBlock { Geometry = 0, FirstOffset = 1, Order = "RGB" }])));
}
