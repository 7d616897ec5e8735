using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Geometry;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Radiance;
using StageView.Light.Rays;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Beams;

/// <summary>Gobos and photometric webs.</summary>
[Collection("gl")]
public sealed class SourceTests(Rendering gl, ITestOutputHelper output)
{
    private static readonly RenderSettings Small = new() { Width = 320, Height = 180, Linear = true };

    // Eight spokes with an open top bar; the lower half yellow.
    internal static GoboImage Spokes()
    {
        var rgb = new byte[128 * 128 * 3];
        for (var y = 0; y < 128; y++)
        {
            for (var x = 0; x < 128; x++)
            {
                var (dx, dy) = (x - 63.5f, y - 63.5f);
                var on = MathF.Cos(MathF.Atan2(dy, dx) * 4) > 0 || (y < 30 && MathF.Abs(dx) < 6) ? (byte)255 : (byte)0;
                var at = ((y * 128) + x) * 3;
                (rgb[at], rgb[at + 1], rgb[at + 2]) = (on, on, y < 64 ? on : (byte)(on / 4));
            }
        }

        return new GoboImage { Name = "spokes", Size = 128, Rgb = rgb, Transmission = 0.5f };
    }

    internal static readonly PhotometricWeb Lopsided = new()
    {
        Name = "lopsided",
        PolarRadians = [0, 0.1f, 0.2f, 0.35f],
        AzimuthRadians = [0, MathF.PI / 2, MathF.PI, 3 * MathF.PI / 2],
        Relative = [1, 0.9f, 0.5f, 0, 1, 0.4f, 0.2f, 0, 1, 0.9f, 0.5f, 0, 1, 0.4f, 0.2f, 0],
        PeakCandela = 20000,
        Lumens = 2000,
    };

    private static Moment OneBeam(Func<Beam, Beam> change, Haze haze)
    {
        var b = Scenes.Builder();
        b.GoboImages = [Spokes()];
        b.Webs = [Lopsided];
        b.Begin();
        b.Haze = haze;
        b.Add(Scenes.Floor());
        b.Add(change(Scenes.Spot(new Vector3(-1, -1, 6), new Vector3(0.5f, 2, 0), 20000, 16, 20)));
        return b.Build(TimeSpan.Zero);
    }

    public static TheoryData<string> Kinds => ["gobo", "turned", "mirrored", "web"];

    private static Beam Change(string kind, Beam beam) => kind switch
    {
        "gobo" => beam with { Gobo = new GoboState(1, 0, 0) },
        "turned" => beam with { Gobo = new GoboState(1, 0.4f, 0.2f), Frost = 0.3f, Iris = 0.9f },
        "mirrored" => beam with { Gobo = new GoboState(1, 0.4f, 0) },
        _ => beam with { Profile = AngularProfile.FromWeb(new WebIndex(0), 0.35f, 4, 0.15f, 0.3f) },
    };

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Gobos_and_webs_fall_on_the_floor_where_Light_says(string kind)
    {
        var moment = OneBeam(b => Change(kind, b), new Haze(0, 1, 0));
        if (kind == "mirrored")
        {
            var b = Scenes.Builder();
            b.GoboImages = [Spokes()];
            b.Begin();
            b.Add(Scenes.Floor());
            b.AddMirror(new Vector3(0, 8, 3), -Vector3.UnitY, Vector3.UnitZ, 6, 6);
            b.Add(Change(kind, Scenes.Spot(new Vector3(-1, 2, 6), new Vector3(0.5f, 8, 3), 20000, 16, 20)));
            moment = b.Build(TimeSpan.Zero);
        }

        var camera = new Camera
        {
            Name = "above",
            Position = new Vector3(0, 2, 14),
            Target = new Vector3(0.4f, 2.01f, 0),
            Up = Vector3.UnitY,
            Ev100 = 8,
            VerticalFieldRadians = Angles.Radians(kind == "mirrored" ? 40 : 12),
        };
        var frame = gl.Renderer.Render(moment, camera, Small);
        PngPicture.Write(Path.Combine(Repo.Out("sources"), kind + ".png"), frame.Screen!);
        var meter = new LightMeter(moment, OcclusionScene.From(moment));
        var (checkedPixels, off) = (0, 0);
        for (var y = 1; y < 179; y++)
        {
            for (var x = 1; x < 319; x++)
            {
                var (low, high) = (float.MaxValue, 0f);
                for (var k = 0; k < 9; k++)
                {
                    var d = Sight.Ray(camera, 320, 180, x - 1 + (k % 3), y - 1 + (k / 3));
                    var e = BeamPhotometry.Luminance(meter.At(camera.Position + (d * (-camera.Position.Z / d.Z)), Vector3.UnitZ).Rgb) * 0.3f / MathF.PI;
                    (low, high) = (MathF.Min(low, e), MathF.Max(high, e));
                }

                var l = frame.Linear!.LuminanceAt(x, y);
                checkedPixels += high > 1 ? 1 : 0;
                off += l >= (0.97f * low) - 0.05f && l <= (1.03f * high) + 0.05f ? 0 : 1;
            }
        }

        output.WriteLine($"{checkedPixels} lit pixels, {off} further than a pixel off");
        Assert.True(checkedPixels > 300);
        Assert.True(off <= checkedPixels / 200);
    }

    [Theory]
    [MemberData(nameof(Kinds))]
    public void Gobos_and_webs_in_the_haze_are_those_of_the_reference(string kind)
    {
        var moment = OneBeam(b => Change(kind, b), Scenes.Air);
        var camera = Scenes.House();
        var frame = gl.Renderer.Render(moment, camera, Small);
        PngPicture.Write(Path.Combine(Repo.Out("sources"), kind + "-haze.png"), frame.Screen!);
        var reference = new ReferenceRadiance(moment, null, 1e-3);
        var random = new Random(5);
        var (errors, along) = (new List<double>(), new List<double>());
        var brightest = 0f;
        for (var tries = 0; errors.Count < 200 && tries < 50_000; tries++)
        {
            var (x, y) = (random.Next(320), random.Next(180));
            var d = Sight.Ray(camera, 320, 180, x, y);
            if (d.Z < 0)
            {
                continue;
            }

            // A pixel is an area: the reference is meant over nine rays, so that thin shafts count as the picture can show them.
            var expected = 0f;
            for (var k = 0; k < 9; k++)
            {
                var a = Sight.Ray(camera, 960, 540, (x * 3) + (k % 3), (y * 3) + (k / 3));
                expected += BeamPhotometry.Luminance(reference.Along(camera.Position, a, 900)) / 9;
            }

            brightest = MathF.Max(brightest, expected);
            if (expected > 0.02f * brightest)
            {
                errors.Add(Math.Abs((frame.Linear!.LuminanceAt(x, y) / expected) - 1));
                along.Add(Math.Abs((frame.Linear.LuminanceAt(x, y) / BeamPhotometry.Luminance(reference.Along(camera.Position, d, 900))) - 1));
            }
        }

        errors.Sort();
        along.Sort();
        output.WriteLine(
            $"{errors.Count} pixels: p50 {errors[errors.Count / 2]:P2}, p95 {errors[errors.Count * 95 / 100]:P2}; along their middle rays p50 "
            + $"{along[along.Count / 2]:P2}, p95 {along[along.Count * 95 / 100]:P2}");
        Assert.True(errors.Count > 100);
        Assert.True(along[along.Count / 2] < (kind == "web" ? 0.002 : 0.02));
        Assert.True(along[along.Count * 95 / 100] < (kind == "web" ? 0.005 : 0.15));
        Assert.True(errors[errors.Count / 2] < (kind == "web" ? 0.01 : 0.02));
    }
}
