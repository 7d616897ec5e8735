using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Light.Seen;
using StageView.Live.Shown;
using StageView.Live.Terms;
using StageView.Render;
using StageView.Render.Contexts;
using StageView.Render.Settings;
using StageView.Rig.Scene;
using StageView.Show.Sources;

namespace StageView.Benchmarks;

/// <summary>
/// Whether a click picks the fixture that gives most light there. The judge is the renderer itself: each moment of the demo is drawn once for every fixture
/// with all others dark, and the pictures are compared pixel by pixel. Points lie where the picture is lit; those on a head are left out, since a head that is
/// clicked is meant whatever shines before it.
/// </summary>
public static class PickBenchmarks
{
    private const int Width = 192, Height = 108, Points = 500;

    /// <summary>cd/m² at EV 0 and up by 2^EV: a hundredth of what saturates, 1.2 · 2^EV cd/m² (ISO 12232, at ISO 100).</summary>
    private const float Lit = .012f;

    public static IEnumerable<Figure> Run()
    {
        using var context = Offscreen.Open();
        using var renderer = new FrameRenderer(context);
        var scene = Path.Combine(LiveDemo.Root(), "scenes", "foundry");
        var capture = Path.Combine(scene, "foundry.pcapng");
        var rig = RigLoader.TryLoad(Path.Combine(scene, "foundry.rig.jsonc"), out var loaded, out _)
            ? loaded : throw new InvalidOperationException("the demo's rig can't be read");
        using var show = new CaptureShow(rig, capture);
        var cues = CueTimes.Read(capture).Where(c => c.Camera is not null).OrderBy(c => c.Time).ToList();
        var random = new Random(17);
        var (right, second, asked, took) = (0, 0, 0, TimeSpan.Zero);
        foreach (var (cue, n) in cues.Select((c, i) => (c, i)))
        {
            show.FeedTo(cue.Time);
            var moment = show.Stage.MomentAt(cue.Time, ShownFeed.Shutter);
            var camera = rig.Cameras.First(c => c.Name == cue.Camera);
            var settings = new RenderSettings { Width = Width, Height = Height, Linear = true, Screen = false };
            var occlusion = OcclusionScene.From(moment);
            var view = Viewpoint.Start with
            {
                Position = camera.Position,
                Target = camera.Target,
                FieldRadians = camera.VerticalFieldRadians,
                Width = Width,
                Height = Height,
            };
            var whole = renderer.Render(moment, view.ToCamera(), settings).Linear!;
            var points = new List<(int X, int Y, IReadOnlyList<(FixtureIndex Fixture, float Share)> There)>();
            for (var tries = 0; points.Count < (Points * (n + 1) / cues.Count) - asked && tries < 20000; tries++)
            {
                var (x, y) = (random.Next(Width), random.Next(Height));
                if (whole.LuminanceAt(x, y) < Lit * MathF.Pow(2, camera.Ev100))
                {
                    continue;
                }

                var from = TimeProvider.System.GetTimestamp();
                var ray = view.RayThrough((x + .5f) / Width, (y + .5f) / Height);
                var there = Picker.Candidates(moment, occlusion, ray);
                took += TimeProvider.System.GetElapsedTime(from);
                if (new SeenLight(moment, occlusion).Along(ray.Origin, ray.Direction, ray.Wide).Head.IsNone)
                {
                    points.Add((x, y, there));
                }
            }

            var most = new (FixtureIndex Fixture, float Light)[points.Count];
            foreach (var fixture in rig.Fixtures.Where(f => Shines(moment, f.Index)))
            {
                var alone = renderer.Render(Alone(moment, fixture.Index), view.ToCamera(), settings).Linear!;
                for (var i = 0; i < points.Count; i++)
                {
                    var light = alone.LuminanceAt(points[i].X, points[i].Y);
                    most[i] = light > most[i].Light ? (fixture.Index, light) : most[i];
                }
            }

            for (var i = 0; i < points.Count; i++)
            {
                asked++;
                right += points[i].There.Count > 0 && points[i].There[0].Fixture == most[i].Fixture ? 1 : 0;
                second += points[i].There.Any(t => t.Fixture == most[i].Fixture) ? 1 : 0;
            }

            Console.WriteLine($"{cue.Name}: {right} of {asked} so far");
        }

        yield return new Figure("live.pick.right", (double)right / asked, "share");
        yield return new Figure("live.pick.among", (double)second / asked, "share");
        yield return new Figure("live.pick.time", took.TotalMilliseconds / asked, "ms");
    }

    private static bool Shines(Moment moment, FixtureIndex fixture) => moment.Beams.Span.ToArray().Any(b => b.Fixture == fixture)
        || moment.PixelSurfaces.Span.ToArray().Any(p => p.Fixture == fixture) || moment.Lasers.Span.ToArray().Any(l => l.Fixture == fixture);

    /// <summary>The moment with all other fixtures dark.</summary>
    private static Moment Alone(Moment moment, FixtureIndex fixture)
    {
        var pixels = new System.Numerics.Vector3[moment.Pixels.Length];
        foreach (var surface in moment.PixelSurfaces.Span.ToArray().Where(s => s.Fixture == fixture))
        {
            var count = surface.Columns * surface.Rows;
            moment.Pixels.Span.Slice(surface.FirstPixel, count).CopyTo(pixels.AsSpan(surface.FirstPixel, count));
        }

        return new Moment
        {
            Time = moment.Time, PixelSurfaces = moment.PixelSurfaces, Pixels = pixels, Scanners = moment.Scanners, Mirrors = moment.Mirrors,
            Scenery = moment.Scenery, Outlines = moment.Outlines, MirrorPaths = moment.MirrorPaths, Haze = moment.Haze, Meshes = moment.Meshes,
            GoboImages = moment.GoboImages, Scans = moment.Scans, Webs = moment.Webs, MirrorNames = moment.MirrorNames, SceneryNames = moment.SceneryNames,
            Beams = moment.Beams.Span.ToArray().Select(b => b.Fixture == fixture ? b : b with { FluxLumens = 0 }).ToArray(),
            Lasers = moment.Lasers.Span.ToArray().Select(l => l.Fixture == fixture ? l : l with { FluxLumens = 0 }).ToArray(),
        };
    }
}
