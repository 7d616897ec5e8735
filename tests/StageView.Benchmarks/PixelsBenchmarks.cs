using System.Diagnostics;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage;
using StageView.Stage.Content;
using StageView.Wire.Universes;

namespace StageView.Benchmarks;

/// <summary>100,000 pixels on 250 panels that all tilt, followed against a fixed map, frame by frame at 40 Hz.</summary>
public static class PixelsBenchmarks
{
    private const int Panels = 250;
    private const int Side = 20;
    private const int Frames = 200;

    public static IEnumerable<Figure> Run()
    {
        var rig = Rig();
        var map = PixelMap.Of(rig, new PixelMapPlan
        {
            Name = "m", Kind = PixelMapKind.Flat, Corner = new(-20, -20, 0), Across = new(40, 0, 0), Down = new(0, 40, 0),
            Fixtures = [.. rig.Fixtures.Select(f => f.Index)],
        }, StageModel.SurfacesAtRest(rig));
        var stage = new StageModel(rig, keepHistory: false);
        var tracker = new PixelTracker(map);
        var levels = new byte[512];
        var frame = 0;
        float Next(Func<TimeSpan, float> look)
        {
            var at = TimeSpan.FromMilliseconds(25 * ++frame);
            for (var i = 0; i < 512; i++)
            {
                levels[i] = (byte)(128 + (60 * Math.Sin((frame * .03) + i)));
            }

            stage.OnLevels(new UniverseNumber(1), at, levels);
            return look(at);
        }

        var tracked = Median(() => Next(at => tracker.Track(stage.SurfacesAt(at)).Largest));
        var naive = Median(() => Next(at => Naive(map, stage, at)), 20);
        yield return new Figure("pixels.track.100k", tracked, "ms/frame", "each pixel by itself", tracked / naive);
    }

    /// <summary>Every pixel's place in the world, then its way in the picture's plane.</summary>
    private static float Naive(PixelMap map, StageModel stage, TimeSpan at)
    {
        var surfaces = stage.SurfacesAt(at).ToArray().ToDictionary(s => s.Fixture);
        var all = new List<float>();
        foreach (var patch in map.Patches)
        {
            var now = surfaces[patch.Fixture];
            for (var i = 0; i < Side * Side; i++)
            {
                var step = PixelTracker.PlaceOf(now, i % Side, i / Side) - PixelTracker.PlaceOf(patch.Rest, i % Side, i / Side);
                all.Add(new Vector2(
                    Vector3.Dot(step, Vector3.Normalize(patch.PerMetreU)), Vector3.Dot(step, Vector3.Normalize(patch.PerMetreV))).Length());
            }
        }

        all.Sort();
        return all[^1];
    }

    private static double Median(Func<float> one, int frames = Frames)
    {
        for (var i = 0; i < 50; i++)
        {
            one();
        }

        var times = new double[frames];
        for (var i = 0; i < frames; i++)
        {
            var began = Stopwatch.GetTimestamp();
            if (!(one() > 0))
            {
                throw new InvalidOperationException("nothing moved");
            }

            times[i] = Stopwatch.GetElapsedTime(began).TotalMilliseconds;
        }

        Array.Sort(times);
        return times[frames / 2];
    }

    private static RigScene Rig()
    {
        GeometryNode[] nodes =
        [
            new() { Index = 0, Name = "yoke", Parent = -1, Pose = Pose.Identity },
            new() { Index = 1, Name = "panel", Parent = 0, Pose = Pose.Identity, Axis = new AxisData(AxisMotion.TurnX, 0, 0, 0) },
            new()
            {
                Index = 2, Name = "face", Parent = 1, Pose = Pose.At(0, 0, -.03f),
                Pixels = new PixelGridData { Columns = Side, Rows = Side, Width = 1, Height = 1, PeakLuminance = 1000 },
            },
        ];
        var tilt = new ChannelFunction { Name = "Tilt", Attribute = "Tilt", DmxFrom = 0, DmxTo = 65535, PhysicalFrom = -190, PhysicalTo = 190 };
        var profile = new FixtureProfile
        {
            Name = "panel", File = "panel.jsonc", Wheels = [], Emitters = [],
            Modes =
            [
                new FixtureMode
                {
                    Name = "only", Geometry = nodes, Footprints = [2], PixelBlocks = [], Relations = [],
                    Channels = [new DmxChannel { Index = 0, Name = "Tilt", Geometry = 1, Offsets = [1, 2], Functions = [tilt], Default = 32768 }],
                },
            ],
        };
        return new RigScene
        {
            Name = "panels", File = "panels", Scenery = [], Mirrors = [], Cameras = [], Haze = Haze.None, Areas = [], Volumes = [],
            Network = new NetworkSettings(), Meshes = [], GoboImages = [], Webs = [],
            Fixtures =
            [
                .. Enumerable.Range(0, Panels).Select(i => new Fixture
                {
                    Index = new FixtureIndex(i), Name = $"panel {i + 1}", Profile = profile, Mode = profile.Modes[0],
                    Pose = Pose.At((i % 25 * 1.2f) - 15, (i / 25 * 1.2f) - 6, 6),
                    Patch = [new PatchStart(1, new UniverseAddress(new UniverseNumber(1), 1 + (2 * i)))],
                }),
            ],
        };
    }
}
