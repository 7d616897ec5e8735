using System.Globalization;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Measure;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Show.Cues;
using StageView.Show.Refocus;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Stage.Levels;

namespace StageView.Show.Tests.Refocus;

/// <summary>Positions of a small show, worked out by hand for other venues.</summary>
public sealed class RefocusTests : IDisposable
{
    /// <summary>Of the head: its axes cross .52 m below where it hangs.</summary>
    private const double Axes = .52;

    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void The_same_venue_keeps_every_value_to_the_last_bit()
    {
        var rig = Repo.File("scenes", "foundry", "foundry.rig.jsonc");
        var capture = Repo.File("scenes", "foundry", "foundry.pcapng");
        var same = _folder.File("same.venue.jsonc", """{ "name": "The same", "move": [] }""");
        using var a = new CaptureShow(RigFiles.Open(rig), capture);
        using var b = new CaptureShow(RigFiles.Open(rig, same), capture);
        var answer = RefocusRun.Answer(a, b, []);
        Assert.True(answer.Rows.Count > 60);
        Assert.All(answer.Rows, r => Assert.True(
            r.State == RefocusState.Kept && r.NewPan!.Value.Equals(r.OldPan) && r.NewTilt!.Value.Equals(r.OldTilt),
            $"{r.Fixture} {r.Position}: {r.State} {r.Detail}"));
    }

    // By hand: the axes cross at 8 - .52 m; from there to (0, 5, 0) the tilt's tangent is 5/7.48, a metre lower 5/6.48.
    [Fact]
    public void A_lower_truss_over_a_flat_floor_tilts_by_the_arctangent()
    {
        var row = Assert.Single(Run("[0, 5, 0]", """{ "name": "Low", "move": [{ "what": "truss", "by": [0, 0, -1] }] }""").Rows);
        Assert.Equal(RefocusState.Moved, row.State);
        Assert.Equal(AnchorKind.Piece, row.Anchor.Kind);

        // Within a step of the axis: 270 degrees over 16 bits.
        Assert.Equal(Math.Atan2(5, 8 - Axes) * 180 / Math.PI, Math.Abs(row.OldTilt), 270.0 / 65535);
        Assert.Equal(Math.Atan2(5, 7 - Axes) * 180 / Math.PI, Math.Abs(row.NewTilt!.Value), 270.0 / 65535);
        Assert.Equal(row.OldPan, row.NewPan!.Value, .005f);

        // Longer or shorter: illuminance by the square of the ways.
        var factor = ((5 * 5) + (7.48 * 7.48)) / ((5 * 5) + (6.48 * 6.48));
        Assert.Equal(factor, row.LuxFactor!.Value, .03 * factor);
        Assert.Equal(1 / Math.Sqrt(factor), row.SpotFactor!.Value, .02);
    }

    [Fact]
    public void A_mirrored_rig_gives_mirrored_answers()
    {
        const string venue = """{ "name": "Low", "move": [{ "what": "truss", "by": [0.3, 0, -1] }] }""";
        const string mirrored = """{ "name": "Low", "move": [{ "what": "truss", "by": [-0.3, 0, -1] }] }""";
        var a = Assert.Single(Run("[2, 5, 0]", venue).Rows);
        var b = Assert.Single(Run("[-2, 5, 0]", mirrored).Rows);
        Assert.Equal(a.NewTilt!.Value, b.NewTilt!.Value, .01f);
        Assert.Equal(a.NewPan!.Value, -b.NewPan!.Value, .01f);
    }

    [Theory]
    [InlineData("""{ "name": "Wall", "scenery": [{ "name": "flat", "shape": "box", "at": [0, 2.5, 2], "size": [4, 0.1, 4] }], LOWER }""",
        RefocusState.Obstructed, "flat is in the way")]
    [InlineData("""{ "name": "Full", "volumes": [{ "name": "stalls", "kind": "audience", "at": [0, 5, 1], "size": [3, 3, 2] }], LOWER }""",
        RefocusState.Audience, "its axis enters stalls")]
    [InlineData("""{ "name": "Far", "move": [{ "what": "truss", "by": [0, 0, -8.5] }] }""", RefocusState.OutOfReach, "outside the limits of pan and tilt")]
    [InlineData("""{ "name": "Less", "remove": ["head"] }""", RefocusState.NotThere, "no other of its type reaches it")]
    [InlineData("""{ "name": "Same", "move": [] }""", RefocusState.Kept, "")]
    public void Each_state_is_told_with_its_reason(string venue, RefocusState state, string says)
    {
        venue = venue.Replace("LOWER", "\"move\": [{ \"what\": \"truss\", \"by\": [0, 0, -1] }]", StringComparison.Ordinal);
        var answer = Run("[0, 5, 0]", venue, limit: "\"tiltLimit\": [-80, 80], ");
        var row = Assert.Single(answer.Rows);
        Assert.Equal(state, row.State);
        Assert.Contains(says, row.Detail, StringComparison.Ordinal);
        Assert.Equal(state <= RefocusState.Audience, answer.NeedsSomebody);
    }

    [Fact]
    public void Out_of_reach_says_what_would_cure_it()
    {
        var row = Assert.Single(
            Run("[0, 5, 0]", """{ "name": "Far", "move": [{ "what": "truss", "by": [0, 0, -6] }] }""", limit: "\"tiltLimit\": [-40, 40], ").Rows);
        Assert.Equal(RefocusState.OutOfReach, row.State);
        Assert.Contains("m beside it", row.Detail, StringComparison.Ordinal);
        Assert.Matches(@"hung 3 m upstage it reaches it|hung [\d.]+ m (higher|upstage) it reaches it|no shift of up to 3 m", row.Detail);
    }

    [Fact]
    public void A_named_point_within_the_beam_is_the_anchor_and_moves_with_the_venue()
    {
        var answer = Run("[0, 5, 0]", """{ "name": "Else", "focusPoints": [{ "name": "mark", "at": [1, 6, 0] }] }""",
            points: "\"focusPoints\": [{ \"name\": \"mark\", \"at\": [0.1, 5, 0] }], ");
        var row = Assert.Single(answer.Rows);
        Assert.Equal((AnchorKind.Point, "mark"), (row.Anchor.Kind, row.Anchor.Name));
        Assert.Equal(Math.Atan2(Math.Sqrt(37), 8 - Axes) * 180 / Math.PI, Math.Abs(row.NewTilt!.Value), .01);
    }

    [Fact]
    public void A_person_says_what_a_position_is_for()
    {
        var anchors = _folder.File("a.anchors.jsonc", """
            { "points": { "cross": [0, 6, 1] },
              "anchors": [{ "fixtures": "head", "position": 2, "at": [0, 0, 0] }, { "fixtures": "head", "cue": "one", "at": "cross", "via": [] }] }
            """);
        var row = Assert.Single(Run("[0, 5, 0]", """{ "name": "Low", "move": [{ "what": "truss", "by": [0, 0, -1] }] }""", anchors: anchors).Rows);
        Assert.Equal((AnchorKind.Stated, "cross"), (row.Anchor.Kind, row.Anchor.Text));
        Assert.Contains("a.anchors.jsonc:2: $.anchors[1]", row.Anchor.Why, StringComparison.Ordinal);
        Assert.Equal(Math.Atan2(6, 7 - Axes - 1) * 180 / Math.PI, Math.Abs(row.NewTilt!.Value), .01);

        _folder.File("a.anchors.jsonc", """{ "anchors": [{ "fixtures": "haed", "at": "cros" }] }""");
        var wrong = Assert.Throws<StopException>(() => Run("[0, 5, 0]", """{ "name": "Low", "move": [] }""", anchors: anchors));
        Assert.Contains("a.anchors.jsonc:1: $.anchors[0].fixtures", wrong.Message, StringComparison.Ordinal);
    }

    // By hand: the head tilts from a point 1 m upstage of it to one 1 m downstage, lit all the while. At 8 - .52 m that is 2·atan(1/7.48) = 15.2 degrees,
    // three metres over the floor 2·atan(1/2.48) = 43.9. Triangular moves at 420 deg/s2 (the profile's; 190 deg/s is not reached) take 2·sqrt(d/420): .38 s
    // and .65 s.
    [Fact]
    public void A_move_with_farther_to_go_comes_later()
    {
        var rig = _folder.File("late.rig.jsonc", $$"""
            { "name": "Small", "profiles": ["{{Repo.File("assets", "fixtures")}}"], "haze": { "extinction": 0.001 },
              "parts": [{ "name": "truss", "at": [0, 0, 8], "hangs": [{ "name": "head", "profile": "spot-head", "number": 1, "patch": "1.1" }] }],
              "scenery": [{ "name": "floor", "shape": "plane", "size": [60, 60, 1] }] }
            """);
        var low = _folder.File("low.venue.jsonc", """{ "name": "Low", "move": [{ "what": "truss", "by": [0, 0, -5] }] }""");
        foreach (var (gap, wanted) in ((double, double)[])[(0, .27), (1.5, 0)])
        {
            var scene = RigFiles.Open(rig);
            var capture = _folder.File("late.pcapng");
            using (var stream = System.IO.File.Create(capture))
            {
                CueCapture.Write(CueCapture.Open(scene, _folder.File("late.cues.jsonc", string.Create(CultureInfo.InvariantCulture, $$"""
                    { "length": 6, "cues": [
                      { "time": 0, "set": [{ "fixtures": "head", "dimmer": 1, "pan": 0, "tilt": -7.615 }] },
                      { "time": 2, "set": [{ "fixtures": "head", "dimmer": {{(gap > 0 ? 0 : 1)}}, "pan": 0, "tilt": 7.615 }] },
                      { "time": {{2 + gap}}, "set": [{ "fixtures": "head", "dimmer": 1 }] }] }
                    """))), stream);
            }

            using var a = new CaptureShow(scene, capture);
            using var b = new CaptureShow(RigFiles.Open(rig, low), capture);
            var rows = RefocusRun.Answer(a, b, []).Rows.OrderBy(r => r.Position).ToList();
            Assert.Equal(2, rows.Count);
            Assert.Equal(wanted, rows[1].LateSeconds, .03);
            Assert.Equal(0, rows[0].LateSeconds);
            Assert.Equal(wanted > 0, rows[1].Remark.Contains("later than before", StringComparison.Ordinal));
        }
    }

    // A mirror that hangs lower: the way is solved anew, and the beam lands where it did.
    [Fact]
    public void A_bounce_off_a_mirror_that_hangs_lower_lands_on_its_anchor()
    {
        var rig = _folder.File("mirror.rig.jsonc", """
            { "name": "One mirror", "profiles": ["PROFILES"], "bounces": 1, "haze": { "extinction": 0.001 },
              "hangs": [{ "name": "head", "profile": "spot-head", "number": 1, "at": [0, 0, 8], "patch": "1.1" }],
              "mirrors": [{ "name": "panel", "at": [0, 9, 5], "size": [8, 6] }],
              "scenery": [{ "name": "floor", "shape": "plane", "size": [60, 60, 1] }] }
            """.Replace("PROFILES", Repo.File("assets", "fixtures"), StringComparison.Ordinal));
        var looks = File("looks/over.look.jsonc",
            """{ "set": [{ "fixtures": "head", "dimmer": 1, "zoom": 8, "aim": { "mirror": "panel", "from": [0.5, 0, 0], "to": [0.5, 0, 0] } }] }""");
        var lower = _folder.File("lower.venue.jsonc", """{ "name": "Lower", "move": [{ "what": "panel", "by": [0, -0.8, -1.5] }] }""");
        var answer = RunFiles(rig, Path.GetDirectoryName(looks)!, lower);
        var row = Assert.Single(answer.Rows);
        Assert.Equal(["panel"], row.Anchor.Via);
        Assert.Equal(RefocusState.Moved, row.State);
        Assert.InRange(Vector3.Distance(Landing(RigFiles.Open(rig, lower), row), row.Anchor.Place), 0, .02f);
    }

    // Levels written, decoded by the stage, and followed to where they land: within a step of the axis (540 degrees over 65,535) of the anchor.
    [Fact]
    public void What_is_written_lands_on_the_anchors()
    {
        const string venue = """{ "name": "Low", "move": [{ "what": "truss", "by": [0.4, 0.2, -1.3] }] }""";
        var answer = Run("[1.2, 5, 0]", venue);
        var row = Assert.Single(answer.Rows);
        var rig = RigFiles.Open(_folder.File("a.rig.jsonc"), _folder.File("b.venue.jsonc"));
        Assert.InRange(Vector3.Distance(Landing(rig, row), row.Anchor.Place), 0, .005f);
        Assert.Equal(["1.1/1.2", "1.3/1.4"], row.Channels.Select(c => c.Addresses));

        var looks = RefocusFiles.Looks(answer).ToList();
        Assert.Equal("position-01.look.jsonc", Assert.Single(looks).Name);
        using var look = new LookShow(rig, _folder.File(looks[0].Name, looks[0].Text));
        var state = look.Stage.StateOf(new FixtureIndex(0), TimeSpan.Zero);
        Assert.Equal(row.NewTilt!.Value, state.Attributes.First(a => a.Attribute == "Tilt").Now, .01f);
        var point = Assert.Single(RefocusFiles.FocusPoints(rig, answer));
        Assert.Equal("head, position 1: on floor", point.Name);
        Assert.InRange(Vector3.Distance(row.Anchor.Place, point.Position), 0, 1e-3f);
        var sheet = Assert.Single(RefocusFiles.Sheets(answer));
        Assert.Equal("Focus: truss", sheet.Title);
        Assert.Contains(sheet.Notes, n => n.Contains("decided on site", StringComparison.Ordinal));
    }

    private static Vector3 Landing(RigScene rig, RefocusRow row)
    {
        var levels = new LevelsEncoder(rig);
        Assert.True(levels.TrySet(rig.Fixtures[0], "Pan", row.NewPan!.Value, out var why), why);
        Assert.True(levels.TrySet(rig.Fixtures[0], "Tilt", row.NewTilt!.Value, out why), why);
        Assert.True(levels.TrySet(rig.Fixtures[0], "Dimmer", 1, out why), why);
        Assert.True(levels.TrySet(rig.Fixtures[0], "Shutter1", 1, out why), why);
        var stage = new StageModel(rig);
        levels.SendTo(stage, TimeSpan.Zero);
        var moment = stage.MomentAt(TimeSpan.Zero);
        var scene = OcclusionScene.From(moment);
        var last = new BeamIndex(Enumerable.Range(0, moment.Beams.Length).MaxBy(i => moment[new BeamIndex(i)].Bounces));
        Assert.True(Landings.TryFind(new LightMeter(moment, scene), scene, last, out var landing));
        return landing.Point;
    }

    private RefocusAnswer Run(string aim, string venue, string limit = "", string points = "", string? anchors = null) => RunFiles(
        _folder.File("a.rig.jsonc", $$"""
            { "name": "Small", "profiles": ["{{Repo.File("assets", "fixtures")}}"], "haze": { "extinction": 0.001 }, {{points}}
              "parts": [{ "name": "truss", "at": [0, 0, 8], "hangs": [{ "name": "head", "profile": "spot-head", "number": 1, {{limit}}"patch": "1.1" }] }],
              "scenery": [{ "name": "floor", "shape": "plane", "size": [60, 60, 1] }] }
            """),
        Path.GetDirectoryName(File("show/one.look.jsonc", string.Create(CultureInfo.InvariantCulture,
            $$"""{ "set": [{ "fixtures": "head", "dimmer": 1, "zoom": 8, "aim": {{aim}} }] }""")))!,
        _folder.File("b.venue.jsonc", venue), anchors);

    private string File(string name, string text)
    {
        Directory.CreateDirectory(Path.GetDirectoryName(_folder.File(name))!);
        return _folder.File(name, text);
    }

    private static RefocusAnswer RunFiles(string rig, string looks, string venue, string? anchors = null)
    {
        using var a = new LooksShow(RigFiles.Open(rig), looks);
        using var b = new LooksShow(RigFiles.Open(rig, venue), looks, lenient: true);
        return RefocusRun.Answer(a, b, a.Looks, anchors is null ? null : AnchorsFile.Open(a.Stage.Rig, b.Stage.Rig, anchors));
    }
}
