using System.Globalization;
using System.Numerics;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Show.Rigs;
using StageView.Show.Survey;
using StageView.Stage.Heads;
using StageView.Stage.Levels;

namespace StageView.Show.Tests.Survey;

/// <summary>A rig hangs elsewhere than its file says; heads are aimed there, and the file is put right.</summary>
public sealed class SurveyQuestionTests : IDisposable
{
    private const string True = """
        { "name": "the truth", "move": [
          { "what": "truss", "by": [0.2, -0.15, -0.6], "turn": [1, -0.5, 2] },
          { "what": "tower right", "alone": true, "by": [-0.3, 0.2, 0.05], "turn": [0, 1, -4] },
          { "what": "arm", "by": [0, 0.1, -0.2], "turn": [0, 0, 3] } ] }
        """;

    private static readonly (string Name, Vector3 At)[] s_marks =
    [
        ("A", new(-3, -2, 0)), ("B", new(3, -1.5f, 0)), ("C", new(0, 3.5f, 0)), ("D", new(-2.5f, 5, 0)), ("E", new(4, 6, 2)), ("F", new(-4, 6, 3)),
    ];

    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private string Rig(string more = "") => _folder.File("s.rig.jsonc", $$"""
        {
          "name": "survey", "profiles": ["{{Repo.File("assets", "fixtures").Replace('\\', '/')}}"],
          "focusPoints": [{ "name": "singer", "at": [0, 1, 1.6] }],
          "parts": [
            { "name": "truss", "at": [0, 2, 7], "hangs": [
              { "name": "over", "profile": "spot-head", "number": 1, "patch": "1.1"{{more}},
                "row": { "from": [-4, 0, -0.2], "to": [4, 0, -0.2], "count": 4 } } ],
              "parts": [ { "name": "arm", "at": [0, -1.5, 0], "hangs": [
                { "name": "out", "profile": "spot-head", "number": 11, "patch": "2.1",
                  "row": { "from": [-1, 0, -0.3], "to": [1, 0, -0.3], "count": 2 } } ] } ] },
            { "name": "tower", "at": [-5, 1, 0], "rotate": [0, 0, 15], "mirrored": true, "mirroredName": "tower right", "hangs": [
              { "name": "side", "profile": "spot-head", "number": 21, "row": { "from": [0.3, 0, 2], "to": [0.3, 0, 5], "count": 2 }, "patch": "3.1" } ] } ],
          "hangs": [{ "name": "key", "profile": "front-profile", "number": 31, "at": [0, -6, 6], "aim": "singer", "patch": "4.1" }]
        }
        """);

    /// <summary>What each of the heads reads on each of the marks in the rig as it really hangs.</summary>
    private string Marks(RigScene truth, IEnumerable<string> heads, Func<string, string, (double Pan, double Tilt)>? more = null, string keys = "")
    {
        var lines = from h in heads
                    from m in s_marks
                    let aim = PanTilt.Aim(truth.Fixtures.Single(f => f.Name == h), m.At)
                    where aim.Count > 0
                    let off = more?.Invoke(h, m.Name) ?? default
                    select string.Create(CultureInfo.InvariantCulture,
                        $"{{ \"fixture\": \"{h}\", \"mark\": \"{m.Name}\", \"pan\": {aim[0].PanDegrees + off.Pan:0.#####}, ")
                        + string.Create(CultureInfo.InvariantCulture, $"\"tilt\": {aim[0].TiltDegrees + off.Tilt:0.#####} }}");
        var points = s_marks.Select(m => string.Create(CultureInfo.InvariantCulture, $"\"{m.Name}\": [{m.At.X}, {m.At.Y}, {m.At.Z}]"));
        return _folder.File("s.marks.jsonc", $"{{ \"name\": \"as surveyed\", {keys} \"marks\": {{ {string.Join(", ", points)} }},\n\"sightings\": [\n"
            + string.Join(",\n", lines) + "\n] }");
    }

    private SurveyAsked Asked(string marks) => new() { Rig = _folder["s.rig.jsonc"], Marks = marks };

    private static void AssertSame(RigScene a, RigScene b, Func<Fixture, bool> which)
    {
        foreach (var f in a.Fixtures.Where(which))
        {
            Assert.True(Vector3.Distance(f.Pose.Position, b[f.Index].Pose.Position) < 2e-4f, f.Name);
            Assert.True(Vector3.Distance(f.Pose.TransformDirection(Vector3.UnitX), b[f.Index].Pose.TransformDirection(Vector3.UnitX)) < 1e-4f, f.Name);
        }
    }

    [Fact]
    public void The_venue_file_that_is_written_puts_every_head_where_it_really_hangs()
    {
        var rig = Rig();
        var truth = RigFiles.Open(rig, _folder.File("true.venue.jsonc", True));
        var asked = Asked(Marks(truth, ["over 1", "over 4", "out 1", "out 2", "side 3", "side 4"]));
        var answer = SurveyQuestion.Answer(asked);
        Assert.Equal(["truss", "arm", "tower right"], answer.Parts.Select(p => p.Part.Name));
        Assert.True(answer.AllKnown, string.Join('\n', answer.Parts.Select(p => p.Why)));
        Assert.Empty(SurveyVenue.Write(asked, answer, _folder["out.venue.jsonc"]));
        AssertSame(truth, RigFiles.Open(rig, _folder["out.venue.jsonc"]), _ => true);
        Assert.Contains("surveyed: 12 sightings of 2 heads", string.Join('\n', RigFiles.Open(rig, _folder["out.venue.jsonc"]).VenueChanges),
            StringComparison.Ordinal);
    }

    [Fact]
    public void Over_a_venue_the_new_moves_come_behind_its_own()
    {
        var rig = Rig();
        var truth = RigFiles.Open(rig, _folder.File("true.venue.jsonc", True));
        var today = _folder.File("today.venue.jsonc", """
            { "name": "today", "move": [{ "what": "truss", "trim": 6.2, "turn": [0, 0, 1] }], "hangs": [
              { "name": "house", "profile": "front-profile", "at": [0, -8, 5], "patch": "9.1" } ] }
            """);
        var asked = Asked(Marks(truth, ["over 1", "over 2", "over 4"])) with { Venue = today };
        var answer = SurveyQuestion.Answer(asked);
        Assert.Empty(SurveyVenue.Write(asked, answer, _folder["out.venue.jsonc"]));
        var under = RigFiles.Open(rig, _folder["out.venue.jsonc"]);
        AssertSame(truth, under, f => f.Name.StartsWith("over", StringComparison.Ordinal));
        Assert.Contains(under.Fixtures, f => f.Name == "house");
        Assert.Equal("today", under.Venue);
        Assert.Contains("beside", Assert.Throws<StopException>(() =>
            SurveyVenue.Write(asked, answer, Path.Combine(_folder.Path, "elsewhere", "o.jsonc"))).Message, StringComparison.Ordinal);
        Assert.Contains("would overwrite", Assert.Throws<StopException>(() => SurveyVenue.Write(asked, answer, today)).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_part_that_the_venue_brought_is_told_to_be_changed_there()
    {
        var rig = Rig();
        string Venue(string at) => $$"""
            { "name": "today", "parts": [{ "name": "house truss", "at": {{at}}, "hangs": [ { "name": "house", "profile": "spot-head", "patch": "9.1",
              "row": { "from": [-3, 0, 0], "to": [3, 0, 0], "count": 2 } } ] }] }
            """;
        var truth = RigFiles.Open(rig, _folder.File("true.venue.jsonc", Venue("[0.3, 1, 6.4]")));
        var asked = Asked(Marks(truth, ["house 1", "house 2", "over 1", "over 4"])) with { Venue = _folder.File("today.venue.jsonc", Venue("[0, 1, 7]")) };
        var note = Assert.Single(SurveyVenue.Write(asked, SurveyQuestion.Answer(asked), _folder["out.venue.jsonc"]));
        Assert.Contains("today.venue.jsonc:1: \"house truss\" is the venue's own", note, StringComparison.Ordinal);
        Assert.Contains("\"at\" further by [0.3", note, StringComparison.Ordinal);
    }

    [Fact]
    public void Parts_that_are_named_as_one_are_solved_as_one()
    {
        var rig = Rig();
        var truth = RigFiles.Open(rig, _folder.File("true.venue.jsonc", """{ "name": "t", "move": [{ "what": "truss", "by": [0.1, 0, -0.4] }] }"""));
        var answer = SurveyQuestion.Answer(Asked(Marks(truth, ["over 1", "out 2"], keys: "\"parts\": [\"truss\"],")));
        var part = Assert.Single(answer.Parts);
        Assert.Equal(("truss", 2, SurveyState.Known), (part.Part.Name, part.Heads, part.State));
        Assert.True((part.Fit!.Moved - new Vector3d(.1, 0, -.4)).Length < 2e-4);
    }

    [Fact]
    public void One_wrong_reading_is_named_with_its_line()
    {
        var truth = RigFiles.Open(Rig(), _folder.File("true.venue.jsonc", True));
        var answer = SurveyQuestion.Answer(Asked(Marks(truth, ["over 1", "over 4"], (h, m) => h == "over 4" && m == "B" ? (0, 4) : default)));
        var part = Assert.Single(answer.Parts);
        Assert.Equal(SurveyState.Doubtful, part.State);
        Assert.Contains("Worst: over 4 on B (", part.Why, StringComparison.Ordinal);
        Assert.Contains($"s.marks.jsonc:{part.Sightings[part.Worst].Sighting.Place.Line})", part.Why, StringComparison.Ordinal);
        Assert.StartsWith("without it the others fit: aim and read that one again", part.Cure, StringComparison.Ordinal);
        Assert.Empty(SurveyVenue.Moves(answer));
    }

    [Fact]
    public void A_head_that_sits_askew_on_its_part_is_named()
    {
        var truth = RigFiles.Open(Rig(), _folder.File("true.venue.jsonc", True));
        var answer = SurveyQuestion.Answer(Asked(Marks(truth, ["over 1", "over 2", "over 4"], (h, _) => h == "over 2" ? (6, 0) : default)));
        Assert.StartsWith("without over 2 the others fit: does it sit straight", Assert.Single(answer.Parts).Cure, StringComparison.Ordinal);
    }

    [Fact]
    public void Pan_and_tilt_come_from_a_capture_by_way_of_the_patch_as_the_stage_moves_them()
    {
        var rig = Rig(", \"invertPan\": true, \"rotate\": [0, 0, 40]");
        var truth = RigFiles.Open(rig, _folder.File("true.venue.jsonc", True));
        var sets = s_marks.Select(m =>
        {
            var levels = new LevelsEncoder(truth);
            foreach (var f in truth.Fixtures.Where(f => f.Name is "over 1" or "over 4"))
            {
                var aim = PanTilt.Aim(f, m.At)[0];
                Assert.True(levels.TrySet(f, "Pan", aim.PanDegrees, out _) && levels.TrySet(f, "Tilt", aim.TiltDegrees, out _));
            }

            return levels;
        }).ToList();

        // Ten seconds a mark: heads stand long before the next.
        var capture = LevelsCapture.Write(_folder["s.pcapng"], 60, 4, i => Universe(sets[Math.Min(i / 40, sets.Count - 1)]));
        string Sightings(double late) => string.Join(",\n", s_marks.SelectMany((m, i) => new[] { "over 1", "over 4" }.Select(h => string.Create(
            CultureInfo.InvariantCulture, $"{{ \"fixture\": \"{h}\", \"mark\": \"{m.Name}\", \"time\": {(10 * i) + late} }}"))));
        var points = string.Join(", ", s_marks.Select(m => string.Create(CultureInfo.InvariantCulture, $"\"{m.Name}\": [{m.At.X}, {m.At.Y}, {m.At.Z}]")));
        string File(double late) => _folder.File("s.marks.jsonc", $"{{ \"name\": \"n\", \"marks\": {{ {points} }},\n\"sightings\": [\n{Sightings(late)} ] }}");
        var asked = Asked(File(9)) with { Capture = capture };
        var answer = SurveyQuestion.Answer(asked);
        Assert.True(answer.AllKnown, answer.Parts[0].Why);

        // A step of 16 bits over 540 degrees is .008 degrees, a millimetre at seven metres.
        SurveyVenue.Write(asked, answer, _folder["out.venue.jsonc"]);
        var under = RigFiles.Open(rig, _folder["out.venue.jsonc"]);
        foreach (var f in truth.Fixtures.Where(f => f.Name.StartsWith("over", StringComparison.Ordinal)))
        {
            Assert.True(Vector3.Distance(f.Pose.Position, under[f.Index].Pose.Position) < 3e-3f, f.Name);
        }

        Assert.Contains(".marks.jsonc:5 $.sightings[2]: over 1 at 10.2 s of the capture: it is still on its way",
            Assert.Throws<StopException>(() => SurveyQuestion.Answer(Asked(File(.2)) with { Capture = capture })).Message, StringComparison.Ordinal);
        Assert.Contains("$.sightings[0]: has no \"pan\" and \"tilt\"",
            Assert.Throws<StopException>(() => SurveyQuestion.Answer(Asked(File(9)))).Message, StringComparison.Ordinal);
    }

    [Fact]
    public void Heads_whose_base_is_aimed_at_a_named_point_are_refused()
    {
        var truth = RigFiles.Open(Rig(), _folder.File("true.venue.jsonc", True));
        var marks = Marks(truth, ["over 1", "over 4"]);
        Rig(", \"aim\": \"singer\"");
        var asked = Asked(marks);
        var answer = SurveyQuestion.Answer(asked);
        var known = answer.Parts[0] with { State = SurveyState.Known };
        Assert.NotNull(known.Fit);
        Assert.Contains("must not be aimed at a named point", Assert.Throws<StopException>(() =>
            SurveyVenue.Write(asked, answer with { Parts = [known] }, _folder["out.venue.jsonc"])).Message, StringComparison.Ordinal);
        Assert.False(File.Exists(_folder["out.venue.jsonc"]));
    }

    private static byte[] Universe(LevelsEncoder levels) => levels.LevelsOf(levels.Universes.ToList().IndexOf(1)).ToArray();
}
