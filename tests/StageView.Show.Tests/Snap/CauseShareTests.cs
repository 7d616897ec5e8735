using System.Globalization;
using System.Text;
using StageView.Show.Frames;
using StageView.Show.Rigs;
using StageView.Show.Snap;
using StageView.Show.Sources;
using StageView.Snapshot.Compare;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Images;
using StageView.Snapshot.Why;

namespace StageView.Show.Tests.Snap;

/// <summary>
/// How far the shares that are projected from beams can be trusted: the judge is the renderer. One look with several changes at once is drawn, and again
/// with each change alone; a change's true share is the part of the changed pixels that change when it alone is made. Light that it spreads faint and wide,
/// which no projected beam covers, is left out.
/// </summary>
public sealed class CauseShareTests
{
    private const string Held = """
        { "fixtures": "119-124", "dimmer": 0.6, "zoom": 9, "colour": "#4f86ff", "aim": { "from": [-5, 1.5, 0], "to": [5, 1.5, 0] } },
        { "fixtures": "101-112", "dimmer": 0.4, "zoom": 6, "colour": "#ff2f6e", "aim": { "from": [-4, 3, 3], "to": [4, 3, 6] } },
        { "fixtures": "113-118", "dimmer": 0.4, "zoom": 8, "aim": { "from": [-3, 4.6, 0], "to": [3, 4.6, 0] } },
        { "fixtures": "4-7", "dimmer": 0.4, "zoom": 17 },
        { "fixtures": "globes", "dimmer": 0.7, "colour": "2200K", "height": -4.2 },
        { "fixtures": "battens", "dimmer": 0.3, "tilt": 0, "colour": "#ff5a10" },
        { "fixtures": "wall", "colour": "#301004" },
        { "fixtures": "lasers", "Dimmer": 0.5, "colour": "#00ff60", "tilt": 35 }
        """;

    private static readonly (string Subject, string Entry)[] Changes =
    [
        ("up head 2", """{ "fixtures": "120", "pan": 60 }"""),
        ("ladder head 4", """{ "fixtures": "104", "colour": "#20ff40" }"""),
        ("down head 3", """{ "fixtures": "115", "zoom": 20 }"""),
        ("front 5", """{ "fixtures": "5", "dimmer": 0.9 }"""),
        ("globe 6", """{ "fixtures": "406", "height": -5.4 }"""),
        ("laser 3", """{ "fixtures": "503", "tilt": 25 }"""),
        ("facet 4", """{ "fixtures": "304", "colour": "#2050ff" }"""),
    ];

    [Theory]
    [InlineData("house")]
    [InlineData("side")]
    public void Projected_shares_are_near_those_that_rendering_gives(string view)
    {
        using var folder = new TempFolder();
        var rig = RigFiles.Open(Repo.File("scenes", "foundry", "foundry.rig.jsonc"));
        using var pictures = new Pictures();
        var size = new FrameSize(256, 144);
        var camera = rig.Cameras.First(c => c.Name == view);
        var number = 0;
        (FrameImage Image, FrameSidecar Record) Draw(IEnumerable<string> more)
        {
            var look = folder.File($"look {number++}.jsonc", $$"""{ "set": [ {{string.Join(",\n", [Held, .. more])}} ] }""");
            using var show = new LookShow(rig, look);
            var moment = show.Stage.MomentAt(TimeSpan.Zero);
            var covers = new BeamCovers(moment, camera, size.Width, size.Height);
            var fixtures = SidecarMaker.Fixtures(show.Stage, moment, TimeSpan.FromSeconds(camera.ShutterSeconds))
                .Select(f => f.Record with { Covers = covers.Of(f.Fixture) }).ToList();
            var picture = pictures.Draw(show.Stage.MomentAt(TimeSpan.Zero), camera, size);
            return (new FrameImage(picture.Width, picture.Height, picture.Rgba),
                new FrameSidecar { Frame = "f", Image = "", Pixels = "", Width = size.Width, Height = size.Height, Fixtures = fixtures });
        }

        ChangeMap Changed(FrameImage a, FrameImage b) => FrameComparer.Compare(a, b, CompareSettings.Default).Map!;
        var before = Draw([]);
        var after = Draw(Changes.Select(c => c.Entry));
        var all = Changed(before.Image, after.Image);
        var total = all.Pixels.Count(p => p == PixelChange.Changed);
        var causes = CauseFinder.Find(before.Record, after.Record, [], [], all);
        var rows = new List<(string Subject, double True, double Projected)>();
        foreach (var (subject, entry) in Changes)
        {
            var alone = Changed(before.Image, Draw([entry]).Image);
            var both = Enumerable.Range(0, all.Pixels.Length).Count(i => all.Pixels[i] == PixelChange.Changed && alone.Pixels[i] == PixelChange.Changed);
            rows.Add((subject, (double)both / total, causes.Where(c => c.Subject == subject).Max(c => c.Share) ?? -1));
        }

        var said = new StringBuilder(string.Create(CultureInfo.InvariantCulture, $"{(double)total / all.Pixels.Length:P1} of the picture changed\n"));
        foreach (var (subject, truth, projected) in rows.OrderByDescending(r => r.True))
        {
            said.Append(CultureInfo.InvariantCulture, $"{subject,-16} rendered {truth,6:P1}  projected {projected,6:P1}\n");
        }

        Directory.CreateDirectory(Repo.File("out", "test"));
        File.WriteAllText(Repo.File("out", "test", $"cause-shares {view}.txt"), said.ToString());
        Assert.True(total > 5000, said.ToString());
        Assert.All(rows, r => Assert.True(Math.Abs(r.True - r.Projected) < 0.12, said.ToString()));
        // Those that matter come in the right order.
        var large = rows.Where(r => r.True > 0.035).ToList();
        Assert.True(large.Count >= 2, said.ToString());
        Assert.True(large.OrderByDescending(r => r.True).Select(r => r.Subject).SequenceEqual(large.OrderByDescending(r => r.Projected).Select(r => r.Subject)),
            said.ToString());
    }
}
