using System.Diagnostics;
using StageView.Render;
using StageView.Render.Contexts;
using StageView.Render.Settings;
using StageView.Show.Frames;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Snapshot.Compare;
using StageView.Snapshot.Files;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Images;
using StageView.Snapshot.Sets;

namespace StageView.Benchmarks.Planted;

/// <summary>
/// The same frames drawn in other ways: beams by fragments and by tiles, each with two widths of the vectors that the software rasteriser computes in, which
/// round otherwise. What is left between them is what other drivers and machines leave, as far as one machine can show it.
/// </summary>
internal static class RendererWays
{
    /// <summary>First word of the program's arguments when it draws in one way.</summary>
    public const string Verb = "planted-frames";

    private static readonly (string At, string Camera)[] _frames =
    [
        ("3.5", "house"), ("9.2", "side"), ("12.6", "house"), ("18.5", "mirror moment"), ("25", "house low light"), ("30.2", "house"), ("30.2", "above"),
    ];

    private static readonly FrameSize _size = new(320, 180);

    /// <summary>Draws in this process, whose environment says how wide vectors are.</summary>
    public static int Draw(string folder, bool tiled)
    {
        using var context = Offscreen.Open();
        using var renderer = new FrameRenderer(context);
        var rig = RigFiles.Open(Plantings.Rig);
        using var source = SourceChoice.WithContent(new CaptureShow(rig, "scenes/foundry/foundry.pcapng"));
        foreach (var (at, name) in _frames)
        {
            var camera = FrameNames.Cameras(rig, [name])[0];
            var time = source.Times([at])[0].Time;
            source.FeedTo(time);
            var moment = source.Stage.MomentAt(time, TimeSpan.FromSeconds(camera.ShutterSeconds));
            var picture = renderer.Render(moment, camera, new RenderSettings { Width = _size.Width, Height = _size.Height, Tiled = tiled }).Screen!;
            FrameFile.Save(new FrameImage(picture.Width, picture.Height, picture.Rgba),
                Path.Combine(folder, $"{FrameNames.Slug(at)}-{FrameNames.Slug(name)}.png"));
        }

        return 0;
    }

    /// <summary>A row for each two of the ways, as they compare with the tolerances of one renderer and of another.</summary>
    public static IEnumerable<(string Ways, SetResult Same, SetResult Other)> Compare(string folder)
    {
        var all = from width in new[] { "256", "128" }
                  from way in new[] { "fragments", "tiles" }
                  select (Name: $"{way}, vectors of {width} bits", Way: way, Width: width);
        var drawn = all.Select(w => (w.Name, Folder: Child(Path.Combine(folder, $"{w.Way} {w.Width}"), w.Way, w.Width))).ToList();
        for (var i = 0; i < drawn.Count; i++)
        {
            for (var k = i + 1; k < drawn.Count; k++)
            {
                var (a, b) = (FrameSet.Open(drawn[i].Folder), FrameSet.Open(drawn[k].Folder));
                yield return ($"{drawn[i].Name} / {drawn[k].Name}", SetComparison.Run(new SetRequest { Base = a, New = b }),
                    SetComparison.Run(new SetRequest { Base = a, New = b, Asked = new TolerancePart { Renderer = RendererMatch.Other } }));
            }
        }
    }

    private static string Child(string folder, string way, string width)
    {
        Directory.CreateDirectory(folder);
        var cache = Directory.CreateDirectory(Path.Combine(Path.GetDirectoryName(folder)!, $"cache {width}")).FullName;
        var start = new ProcessStartInfo(Environment.ProcessPath!) { UseShellExecute = false };
        if (Path.GetFileNameWithoutExtension(Environment.ProcessPath!) == "dotnet")
        {
            start.ArgumentList.Add(typeof(RendererWays).Assembly.Location);
        }

        foreach (var word in new[] { Verb, folder, way })
        {
            start.ArgumentList.Add(word);
        }

        // Mesa's own word for it; its cache of programs does not tell widths apart.
        start.Environment["LP_NATIVE_VECTOR_WIDTH"] = width;
        start.Environment["MESA_SHADER_CACHE_DIR"] = cache;
        using var child = Process.Start(start)!;
        child.WaitForExit();
        return child.ExitCode == 0 ? folder : throw new InvalidOperationException($"drawing by {way} ended with {child.ExitCode}");
    }
}
