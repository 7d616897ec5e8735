using System.Diagnostics;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage;
using StageView.Wire.Universes;

namespace StageView.Benchmarks;

/// <summary>Levels to <see cref="Moment"/>: 1,000 moving heads on 500 universes, every head's levels new at every frame.</summary>
public static class StageBenchmarks
{
    private const int Fixtures = 1000;
    private const int Universes = 500;
    private const int Frames = 200;

    public static IEnumerable<Figure> Run()
    {
        var rig = Rig();
        var levels = Levels();
        var naive = Median(f => Naive(rig, levels[f % levels.Length]), 20);
        var stage = new StageModel(rig, keepHistory: false);
        var frame = 0;
        void One(int f)
        {
            var at = TimeSpan.FromMilliseconds(25 * frame++);
            var set = levels[f % levels.Length];
            for (var u = 0; u < Universes; u++)
            {
                stage.OnLevels(new UniverseNumber(u + 1), at, set.AsSpan(u * 512, 512));
            }

            var moment = stage.MomentAt(at, TimeSpan.FromMilliseconds(20));
            if (moment.Beams.Length != Fixtures)
            {
                throw new InvalidOperationException($"{moment.Beams.Length} beams from {Fixtures} fixtures");
            }
        }

        for (var f = 0; f < 100; f++)
        {
            One(f);
        }

        var before = GC.GetAllocatedBytesForCurrentThread();
        for (var f = 0; f < Frames; f++)
        {
            One(100 + f);
        }

        var bytes = GC.GetAllocatedBytesForCurrentThread() - before;
        var moving = Median(One, Frames);
        var allocated = bytes / (double)Frames;
        yield return new Figure("stage.moment.1000fixtures", moving * 1e3, "ms", "channels read by name at each frame", moving / naive);
        yield return new Figure("stage.moment.1000fixtures.allocated", allocated, "bytes/frame");
        var still = Median(_ => stage.MomentAt(TimeSpan.FromHours(1) + TimeSpan.FromMilliseconds(frame++)), Frames);
        yield return new Figure("stage.moment.1000fixtures.still", still * 1e3, "ms", "stage.moment.1000fixtures", still / moving);
        var (seek, fold) = Seek(rig, levels);
        yield return new Figure("stage.seek.1000fixtures", seek * 1e3, "ms", "folding the same history from its start", seek / fold);
    }

    /// <summary>Going back to random times of 5 s at 40 Hz in which everything changes.</summary>
    private static (double Seek, double Fold) Seek(RigScene rig, byte[][] levels)
    {
        var stage = new StageModel(rig);
        for (var f = 0; f < 200; f++)
        {
            for (var u = 0; u < Universes; u++)
            {
                stage.OnLevels(new UniverseNumber(u + 1), TimeSpan.FromMilliseconds(25 * f), levels[f % levels.Length].AsSpan(u * 512, 512));
            }
        }

        var start = Stopwatch.GetTimestamp();
        stage.MomentAt(TimeSpan.FromSeconds(5));
        var fold = Stopwatch.GetElapsedTime(start).TotalSeconds;
        var random = new Random(4);
        return (Median(_ => stage.MomentAt(TimeSpan.FromSeconds(random.NextDouble() * 5)), 40), fold);
    }

    private static double Median(Action<int> run, int times)
    {
        var seconds = new double[times];
        for (var i = 0; i < times; i++)
        {
            var start = Stopwatch.GetTimestamp();
            run(i);
            seconds[i] = Stopwatch.GetElapsedTime(start).TotalSeconds;
        }

        Array.Sort(seconds);
        return seconds[times / 2];
    }

    /// <summary>What a straightforward reader of profiles does: each channel of each fixture looked up by its attribute's name, into a dictionary.</summary>
    private static void Naive(RigScene rig, byte[] levels)
    {
        foreach (var fixture in rig.Fixtures)
        {
            var values = new Dictionary<string, float>();
            var start = fixture.Patch[0].Start.Absolute;
            foreach (var channel in fixture.Mode.Channels)
            {
                var raw = channel.Offsets.Aggregate(0u, (v, o) => (v << 8) | levels[start + o - 1]);
                var f = channel.Functions.First(f => raw >= f.DmxFrom && raw <= f.DmxTo);
                values[f.Attribute] = f.PhysicalFrom + ((f.PhysicalTo - f.PhysicalFrom) * ((raw - f.DmxFrom) / (float)(f.DmxTo - f.DmxFrom)));
            }

            var profile = AngularProfile.FromBeamAndField(values["Zoom"] / 57.3f, values["Zoom"] * 1.1f / 57.3f);
            var pose = fixture.Pose.Compose(Pose.FromDegrees(Vector3.Zero, new Vector3(0, 0, values["Pan"])))
                .Compose(Pose.FromDegrees(Vector3.Zero, new Vector3(values["Tilt"], 0, 0)));
            GC.KeepAlive(new Beam { Profile = profile, Axis = pose.TransformDirection(-Vector3.UnitZ), FluxLumens = values["Dimmer"] });
        }
    }

    private static byte[][] Levels()
    {
        var random = new Random(1);
        var frames = new byte[40][];
        var bytes = new byte[Universes * 512];
        random.NextBytes(bytes);
        for (var f = 0; f < frames.Length; f++)
        {
            // Consoles move values a little each frame: pan, tilt, dimmer fine and colours of every head.
            for (var i = 0; i < bytes.Length; i++)
            {
                bytes[i] = (byte)(bytes[i] + 1);
            }

            for (var fixture = 0; fixture < Fixtures; fixture++)
            {
                var at = (fixture / 2 * 512) + (fixture % 2 * 40);
                bytes[at + 4] = (byte)(128 + (f % 64));
            }

            frames[f] = (byte[])bytes.Clone();
        }

        return frames;
    }

    private static RigScene Rig()
    {
        GeometryNode[] nodes =
        [
            new() { Index = 0, Name = "base", Parent = -1, Pose = Pose.Identity, Body = new BodyData(BodyShape.Box, Vector3.One, 0, Pose.Identity) },
            new()
            {
                Index = 1,
                Name = "yoke",
                Parent = 0,
                Pose = Pose.At(0, 0, -.1f),
                Axis = new AxisData(AxisMotion.TurnZ, 230, 480, .1f),
                Body = new BodyData(BodyShape.Box, Vector3.One, 0, Pose.Identity),
            },
            new()
            {
                Index = 2,
                Name = "head",
                Parent = 1,
                Pose = Pose.At(0, 0, -.25f),
                Axis = new AxisData(AxisMotion.TurnX, 190, 420, .1f),
                Body = new BodyData(BodyShape.Box, Vector3.One, 0, Pose.Identity),
            },
            new() { Index = 3, Name = "lens", Parent = 2, Pose = Pose.At(0, 0, -.15f), Beam = new BeamData() },
        ];
        string[] names = ["Pan", "Tilt", "Dimmer", "Zoom", "ColorSub_C", "ColorSub_M", "ColorSub_Y", "Iris", "Frost1", "Focus1", "Gobo1Pos", "Prism1Pos",
            "CTO"];
        (float, float)[] ranges = [(-270, 270), (-130, 130), (.2f, 1), (5, 50), (0, .8f), (0, .8f), (0, .8f), (.2f, 1), (0, 1), (2, 30), (0, 360), (0, 360),
            (6500, 2700)];
        int[] geometry = [1, 2, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3, 3];
        var offset = 1;
        var channels = names.Select((n, i) =>
        {
            var wide = i < 4;
            var channel = new DmxChannel
            {
                Index = i, Name = n, Geometry = geometry[i], Offsets = wide ? [offset, offset + 1] : [offset],
                Functions =
                    [new ChannelFunction
                    {
                        Name = n, Attribute = n, DmxFrom = 0, DmxTo = wide ? 65535u : 255u, PhysicalFrom = ranges[i].Item1, PhysicalTo = ranges[i].Item2,
                    }],
            };
            offset += wide ? 2 : 1;
            return channel;
        }).ToArray();
        var mode = new FixtureMode { Name = "m", Geometry = nodes, Channels = channels, Footprints = [offset - 1] };
        var profile = new FixtureProfile { Name = "head", File = "", Modes = [mode] };
        return new RigScene
        {
            Name = "thousand", File = "", Scenery = [], Mirrors = [], Cameras = [], Haze = Haze.None, Areas = [], Volumes = [],
            Network = new NetworkSettings(), Meshes = [], GoboImages = [], Webs = [],
            Fixtures = [.. Enumerable.Range(0, Fixtures).Select(i => new Fixture
            {
                Index = new FixtureIndex(i), Name = $"head {i}", Profile = profile, Mode = mode, Pose = Pose.At(i % 40, i / 40, 8),
                Patch = [new PatchStart(1, new UniverseAddress(new UniverseNumber((i / 2) + 1), 1 + (i % 2 * 40)))],
            })],
        };
    }
}
