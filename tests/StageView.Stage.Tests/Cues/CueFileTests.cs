using System.Text;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Source;
using StageView.Stage.Anchors;
using StageView.Stage.Cues;
using StageView.Stage.Looks;
using StageView.Stage.Survey;
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

    /// <summary>By hand: 120 beats a minute are .5 s a beat, a bar of four 2 s; bar 1 begins at .25 s.</summary>
    [Theory]
    [InlineData("bar 1", .25)]
    [InlineData("bar 3 beat 2", 4.75)]
    [InlineData("bar 2 beat 1.5", 2.5)]
    public void Times_are_bars_and_beats_where_there_is_a_tempo(string written, double seconds) =>
        Assert.Equal(seconds, Assert.Single(
            Show($"\"tempo\": {{ \"bpm\": 120, \"start\": 0.25 }}, \"cues\": [{{ \"time\": \"{written}\", \"name\": \"a\" }}]").Cues).Seconds, 1e-9);

    [Fact]
    public void Fades_and_periods_are_beats_and_bars()
    {
        var show = "\"tempo\": { \"bpm\": 120, \"beatsPerBar\": 3 }, ";
        Assert.Equal(.5, Dimmer(Show(show + "\"cues\": [{ \"time\": 0, \"fade\": \"2 beats\", "
            + "\"set\": [{ \"fixtures\": \"1\", \"dimmer\": 1 }] }]"), .5), 1e-4);
        Assert.Equal(.5, Dimmer(Show(show + "\"cues\": [{ \"time\": 0, \"set\": [{ \"fixtures\": \"1\", \"dimmer\": 1, \"fade\": \"1 bar\" }] }]"), .75), 1e-4);
        // A saw falls to three quarters after a quarter of its period: .125 s of .5 s.
        Assert.Equal(.75, Dimmer(Show(show
            + "\"chases\": [{ \"from\": \"bar 1\", \"to\": 5, \"fixtures\": \"1\", \"shape\": \"saw\", \"period\": \"1 beat\" }]"), .125), 2e-3);
    }

    [Fact]
    public void Sections_are_played_where_plays_say_and_their_cues_are_named_by_the_play()
    {
        var show = Show("\"tempo\": { \"bpm\": 60 }, \"cues\": [{ \"time\": 20, \"name\": \"out\", \"set\": [{ \"fixtures\": \"1\", \"dimmer\": 0 }] }], "
            + "\"sections\": [{ \"name\": \"chorus\", \"cues\": [{ \"time\": \"bar 1 beat 2\", \"name\": \"hit\", "
            + "\"set\": [{ \"fixtures\": \"1\", \"dimmer\": 0.5 }] }], "
            + "\"chases\": [{ \"from\": 2, \"to\": 3, \"fixtures\": \"1\", \"shape\": \"pulse\", \"width\": 1, \"high\": 1 }] }], "
            + "\"plays\": [{ \"section\": \"chorus\", \"time\": \"bar 2\" }, { \"section\": \"chorus\", \"time\": 30 }]");
        Assert.Equal(["chorus 1 hit 5", "out 20", "chorus 2 hit 31"], show.Cues.Select(c => $"{c.Name} {c.Seconds:0.###}"));
        Assert.Equal(0, Dimmer(Show(Body(4)), 4.5), 1e-4);
        Assert.Equal(.5, Dimmer(Show(Body(4)), 5.5), 1e-4);
        Assert.Equal(1, Dimmer(Show(Body(4)), 6.5), 1e-4);

        static string Body(double at) => "\"sections\": [{ \"name\": \"a\", \"cues\": [{ \"time\": 1, \"set\": [{ \"fixtures\": \"1\", \"dimmer\": 0.5 }] }], "
            + "\"chases\": [{ \"from\": 2, \"to\": 3, \"fixtures\": \"1\", \"shape\": \"pulse\", \"width\": 1 }] }], "
            + $"\"plays\": [{{ \"section\": \"a\", \"time\": {at} }}]";
    }

    [Fact]
    public void Named_times_know_sections_too()
    {
        var named = CueFile.NamedTimes("""
            { "tempo": { "bpm": 60 }, "cues": [{ "time": 1, "name": "a" }],
              "sections": [{ "name": "b", "cues": [{ "time": "bar 2", "name": "c" }] }], "plays": [{ "section": "b", "time": 10 }] }
            """u8, "x.cues.jsonc", ["cues"], out var why);
        Assert.Equal("", why);
        Assert.Equal(["a 1", "b c 14"], named.Select(n => $"{n.Name} {n.Seconds}"));
    }

    [Fact]
    public void The_sound_lies_beside_the_cue_file()
    {
        using var folder = new TempFolder();
        File.WriteAllBytes(folder.File("song.ogg"), [1]);
        Assert.Equal(new CueSound(folder.File("song.ogg"), 1.5), Of("song.ogg", out _)?.Sound);
        Assert.Null(Of("other.ogg", out var said)?.Sound);
        Assert.Contains("there is no file \"other.ogg\" in the cue file's folder", said, StringComparison.Ordinal);
        Assert.Null(Of("../song.ogg", out said));
        Assert.Contains("leads out of the cue file's folder", said, StringComparison.Ordinal);
        Assert.Null(Of("secrets.txt", out said));
        Assert.Contains("is no sound file", said, StringComparison.Ordinal);

        CuePlayer? Of(string sound, out string said)
        {
            var json = $"{{ \"length\": 9, \"sound\": {{ \"file\": \"{sound}\", \"start\": 1.5 }} }}";
            var show = CueFile.TryRead(Rig, Encoding.UTF8.GetBytes(json), folder.File("a.cues.jsonc"), out var problems);
            said = string.Join('\n', problems);
            return show;
        }
    }

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
    [InlineData("\"cues\": [{ \"time\": \"bar 2\" }]", 2, "$.cues[0].time", "is no time, since the file has no \"tempo\"")]
    [InlineData("\"tempo\": { \"bpm\": 100 }, \"cues\": [{ \"time\": \"bar 2 beat 5\" }]", 2, "$.cues[0].time", "is no time")]
    [InlineData("\"cues\": [{ \"time\": 1, \"fade\": \"2 beats\" }]", 2, "$.cues[0].fade", "the file has no \"tempo\"")]
    [InlineData("\"cues\": [{ \"time\": 1, \"set\": [{ \"fixtures\": \"1\", \"over\": \"long\" }] }]", 2, "$.cues[0].set[0].over", "is no length of time")]
    [InlineData("\"sections\": [{ \"name\": \"verse\" }], \"plays\": [{ \"section\": \"vers\", \"time\": 1 }]", 2, "$.plays[0].section",
        "there is no section named \"vers\": did you mean \"verse\"?")]
    [InlineData("\"sections\": [{ \"name\": \"verse\" }]", 2, "$.sections[0]", "is never played")]
    [InlineData("\"timecode\": { \"start\": \"1 o'clock\" }", 2, "$.timecode.start", "is no timecode hh:mm:ss:ff at 25 frames/s")]
    public void Mistakes_are_told_with_line_path_and_the_nearest_word(string body, int line, string path, string says)
    {
        var show = CueFile.TryRead(Rig, Encoding.UTF8.GetBytes($"{{ \"length\": 9,\n {body} }}"), "a.cues.jsonc", out var problems);
        Assert.Equal(problems.Any(p => p.Severity == ProblemSeverity.Error), show is null);
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
    [InlineData("anchors.schema.json")]
    [InlineData("marks.schema.json")]
    public void Committed_schemas_are_those_of_the_key_tables(string name)
    {
        var path = Repo.File("assets", "schema", name);
        var made = name switch
        {
            "cues.schema.json" => CueFile.Schema(),
            "anchors.schema.json" => AnchorFile.Schema(),
            "marks.schema.json" => MarksFile.Schema(),
            _ => CueFile.LookSchema(),
        };
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
