using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Show.Content;
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
        yield return new Figure("pixels.live.delay", Delay(), "ms");
    }

    /// <summary>From a picture that is handed to a sender on this machine until content is it: median of 15 changes between black and white.</summary>
    private static double Delay()
    {
        using var free = new UdpClient(new IPEndPoint(IPAddress.Loopback, 0));
        var to = $"udp://127.0.0.1:{((IPEndPoint)free.Client.LocalEndPoint!).Port}";
        free.Dispose();
        using var input = new LiveInput(new ContentInput("", to, 64, 36, 0));
        using var sender = Process.Start(new ProcessStartInfo("ffmpeg",
            [
                "-v", "error", "-f", "rawvideo", "-pix_fmt", "rgb24", "-s", "64x36", "-framerate", "50", "-i", "-", "-c:v", "mpeg2video", "-bf", "0",
                "-g", "10", "-flush_packets", "1", "-muxdelay", "0", "-f", "mpegts", to + "?pkt_size=1316",
            ])
        { RedirectStandardInput = true, UseShellExecute = false })!;
        var (black, white) = (new byte[64 * 36 * 3], new byte[64 * 36 * 3]);
        Array.Fill(white, (byte)255);
        var delays = new List<double>();
        using var timer = new PeriodicTimer(TimeSpan.FromMilliseconds(20));
        var (isWhite, turned, waits) = (false, 0L, false);
        for (var i = 0; i < 2000 && delays.Count < 15; i++)
        {
            timer.WaitForNextTickAsync().AsTask().GetAwaiter().GetResult();
            if (i % 50 == 49 && !waits)
            {
                (isWhite, turned, waits) = (!isWhite, Stopwatch.GetTimestamp(), i > 150);
            }

            sender.StandardInput.BaseStream.Write(isWhite ? white : black);
            sender.StandardInput.BaseStream.Flush();
            var began = Stopwatch.GetTimestamp();
            while (waits && Stopwatch.GetElapsedTime(began) < TimeSpan.FromMilliseconds(15))
            {
                if (input.FrameAt(TimeSpan.Zero, false) is { } image && image.Mean(0, 0, 1, 1).Y > .5f == isWhite)
                {
                    delays.Add(Stopwatch.GetElapsedTime(turned).TotalMilliseconds);
                    waits = false;
                }
            }
        }

        sender.Kill();
        delays.Sort();
        return delays.Count == 0 ? throw new InvalidOperationException($"no picture came: {input.State}") : delays[delays.Count / 2];
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
