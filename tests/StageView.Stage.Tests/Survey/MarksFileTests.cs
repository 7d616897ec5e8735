using System.Text;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Source;
using StageView.Stage.Survey;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Survey;

public sealed class MarksFileTests
{
    private static RigScene Rig { get; } = Scene(
        Head() with { Name = "head 1", Number = "11", Groups = ["heads"], Part = new PartIndex(1) },
        Head() with { Name = "head 2", Number = "12", Groups = ["heads"], Part = new PartIndex(1), Index = new FixtureIndex(1) },
        Head() with { Name = "loose", Index = new FixtureIndex(2) },
        Hang(Profile([new() { Index = 0, Name = "base", Parent = -1, Pose = Pose.Identity, Beam = new() }], []), 3) with { Name = "par" })
        with
    {
        Parts = [Part(0, "tower", PartIndex.None), Part(1, "arm", new PartIndex(0))],
        FocusPoints = [new FocusPoint("centre", new(0, 1, 0), "")],
    };

    private static RigPart Part(int index, string name, PartIndex holder) => new()
    {
        Index = new PartIndex(index), Name = name, Holder = holder, InHolder = Pose.Identity, HolderOrigin = default,
        HolderAxes = (new(1, 0, 0), new(0, 1, 0), new(0, 0, 1)), Source = SourcePlace.WholeOf("a"),
    };

    [Fact]
    public void Sightings_are_read_with_marks_focus_points_numbers_and_times()
    {
        var file = Read("""
            { "name": "today", "marks": { "A": [1, 2, 0.5] }, "sightings": [
              { "fixture": "head 1", "mark": "A", "pan": 10.25, "tilt": -40 },
              { "fixture": 12, "mark": "centre", "time": 12.5 },
              { "fixture": "12", "mark": "A", "time": "tc:01:00:00:00" } ] }
            """, out var problems);
        Assert.Empty(problems);
        Assert.Equal([(10.25, -40), null, null], file!.Sightings.Select(s => s.Read));
        Assert.Equal(["head 1", "head 2", "head 2"], file.Sightings.Select(s => s.Fixture.Name));
        Assert.Equal([new Vector3d(1, 2, .5), new Vector3d(0, 1, 0), new Vector3d(1, 2, .5)], file.Sightings.Select(s => s.At));
        Assert.Equal(["", "12.5", "tc:01:00:00:00"], file.Sightings.Select(s => s.Time));
        Assert.All(file.Sightings, s => Assert.Equal("arm", s.Part.Name));
        Assert.Equal(3, file.Sightings[1].Place.Line);
    }

    [Fact]
    public void A_head_counts_to_the_part_that_is_named_as_one()
    {
        var file = Read("""
            { "name": "t", "marks": { "A": [0, 0, 0] }, "parts": ["tower"], "sightings": [ { "fixture": "head 1", "mark": "A", "pan": 0, "tilt": 0 } ] }
            """, out _);
        Assert.Equal("tower", file!.Sightings[0].Part.Name);
    }

    [Theory]
    [InlineData("\"fixture\": \"head 3\", \"mark\": \"A\", \"pan\": 0, \"tilt\": 0", "no fixture, number or group is called 'head 3'")]
    [InlineData("\"fixture\": \"heads\", \"mark\": \"A\", \"pan\": 0, \"tilt\": 0", "\"heads\" means 2 fixtures: name the one that was aimed")]
    [InlineData("\"fixture\": \"par\", \"mark\": \"A\", \"pan\": 0, \"tilt\": 0", "par has no pan and tilt with a beam")]
    [InlineData("\"fixture\": \"loose\", \"mark\": \"A\", \"pan\": 0, \"tilt\": 0", "loose hangs in no part of the rig file")]
    [InlineData("\"fixture\": \"head 1\", \"mark\": \"a\", \"pan\": 0, \"tilt\": 0", "no mark is named \"a\": did you mean \"A\"?")]
    [InlineData("\"fixture\": \"head 1\", \"mark\": \"A\", \"pan\": 0", "\"tilt\" is missing beside it")]
    [InlineData("\"fixture\": \"head 1\", \"mark\": \"A\", \"pan\": 0, \"tilt\": 131", "the tilt of head 1 goes from -130 to 130 degrees, not to 131")]
    [InlineData("\"fixture\": \"head 1\", \"mark\": \"A\", \"pan\": 0, \"tilt\": 1, \"time\": 3", "\"time\" is for what is taken from a capture")]
    [InlineData("\"fixture\": \"head 1\", \"marks\": \"A\"", "\"marks\" is not a key of a sighting")]
    public void A_mistake_is_told_once_with_its_line(string sighting, string said)
    {
        Assert.Null(Read($"{{ \"name\": \"t\",\n\"marks\": {{ \"A\": [0, 0, 0] }},\n\"sightings\": [\n{{ {sighting} }} ] }}", out var problems));
        var problem = problems[0];
        Assert.Contains(said, problem.Text, StringComparison.Ordinal);
        Assert.Equal(4, problem.Line);
        Assert.StartsWith("a.marks.jsonc:4: $.sightings[0]", problem.ToString(), StringComparison.Ordinal);
        Assert.True(problems.Count == 1 || said.Contains("not a key", StringComparison.Ordinal), string.Join('\n', problems));
    }

    [Fact]
    public void A_part_that_is_not_there_is_told_with_the_nearest()
    {
        Assert.Null(Read("""
            { "name": "t", "marks": { "A": [0, 0, 0] }, "parts": ["towr"], "sightings": [ { "fixture": "head 1", "mark": "A", "pan": 0, "tilt": 0 } ] }
            """, out var problems));
        Assert.Contains("no part is named \"towr\": did you mean \"tower\"?", Assert.Single(problems).Text, StringComparison.Ordinal);
    }

    [Fact]
    public void Angles_that_were_taken_are_written_in_and_the_rest_stays()
    {
        const string Text = """
            { "name": "t", "marks": { "A": [0, 0, 0] }, // mine
              "sightings": [ { "fixture": "head 1", "mark": "A", }, { "fixture": "head 2", "mark": "A", "pan": 1, "tilt": 2 },
                { "fixture": "head 2", "mark": "A" /* last */ }, ] }
            """;
        var file = Read(Text, out _)!;
        var bytes = MarksFile.WithAngles(Encoding.UTF8.GetBytes(Text), [(file.Sightings[0], -10.1234, 20), (file.Sightings[2], 5, -6.5)]);
        var text = Encoding.UTF8.GetString(bytes);
        Assert.Equal([(-10.1234, 20), (1, 2), (5, -6.5)], Read(text, out _)!.Sightings.Select(s => s.Read));
        Assert.Equal(Text, text.Replace(" \"pan\": -10.1234, \"tilt\": 20,", "", StringComparison.Ordinal)
            .Replace(" \"pan\": 5, \"tilt\": -6.5,", "", StringComparison.Ordinal));
    }

    private static MarksFile? Read(string json, out IReadOnlyList<RigProblem> problems) =>
        MarksFile.TryRead(Rig, Encoding.UTF8.GetBytes(json), "a.marks.jsonc", out problems);
}
