using StageView.Snapshot.Frames;
using StageView.Snapshot.Images;
using StageView.Snapshot.Report;
using StageView.Snapshot.Sets;
using StageView.Snapshot.Tests.Planted;
using StageView.Snapshot.Tests.Sets;

namespace StageView.Snapshot.Tests.Report;

/// <summary>A report over a set with every verdict, made once.</summary>
public sealed class ReportFixture : IDisposable
{
    private readonly TempFolder _temp = new();

    public ReportFixture()
    {
        var (before, after) = (_temp["base"], _temp["new"]);
        var facts = new SetFacts
        {
            Rig = [.. Enumerable.Range(1, 4).Select(i => Height(i, 8.08))],
            Changes = [new ChangeRecord { Number = 1, Start = 9.9, Settled = 11, Look = "x" }],
        };
        var moved = new SetFacts
        {
            Rig = [.. Enumerable.Range(1, 4).Select(i => Height(i, 7.58))],
            Changes = [new ChangeRecord { Number = 1, Start = 10.5, Settled = 11.6, Look = "x" }],
        };
        Directory.CreateDirectory(before);
        Directory.CreateDirectory(after);
        foreach (var (name, pair, seconds) in new[]
        {
            ("cue-001", "a shift of 1 pixel", 10.2), ("cue-002", "a beam of 4 levels, noise of 1 level in both", 20.0),
            ("cue-003", "a hue swing at equal lightness", 30.0), ("cue-004", "noise of 1 level", 40.0), ("cue-005 <b>&amp;", "a dim haze glow moved", 50.0),
        })
        {
            var planted = PlantedPairs.All().Single(p => p.Name == pair);
            Save(before, name, seconds, planted.Before, facts, -30);
            Save(after, name, seconds, planted.After, moved, 12.5);
        }

        Save(before, "only-before", 60, PlantedPairs.Black(), facts, 0);
        Save(after, "only-after", 70, PlantedPairs.Stage(0, 0), moved, 0);
        Save(before, "same", 80, PlantedPairs.Black(), facts, 0);
        Save(after, "same", 80, PlantedPairs.Black(), moved, 0);
        Save(before, "resized", 90, PlantedPairs.Black(), facts, 0);
        Save(after, "resized", 90, new FrameImage(320, 180), moved, 0);
        Folder = _temp["report"];
        Result = SetComparison.Run(new SetRequest { Base = FrameSet.Open(before), New = FrameSet.Open(after), WorkFolder = Folder });
        Page = ReportWriter.Write(Result, Folder, new ReportOptions { Title = "Foundry, second night" });
    }

    public string Folder { get; }

    public string Page { get; }

    public SetResult Result { get; }

    /// <summary>Where screenshots go, to be looked at.</summary>
    public static string Shot(string name) => Path.Combine(Repo.Out("report"), name + ".png");

    public void Dispose() => _temp.Dispose();

    private static RigFact Height(int i, double height) =>
        new() { Kind = "fixture", Subject = $"up head {i}", Property = "height", Value = height, Unit = "m", Place = "upstage truss" };

    private static void Save(string folder, string name, double seconds, FrameImage image, SetFacts facts, double pan)
    {
        var sidecar = SampleFrames.Sidecar(name.Replace('/', '_'), seconds);
        SampleFrames.Save(folder, sidecar with
        {
            Facts = facts.Save(folder),
            Fixtures = [SampleFrames.Head("head 1", 10, 0.05), SampleFrames.Head("head 2", pan, 0.55)]
        }, image);
    }
}
