using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests.PovRay;

/// <summary>A rectangular beam with two framing blades against POV-Ray, where plates stand before the lamp: framed.inc holds the same beam.</summary>
[Collection("gl")]
public sealed class FramedBeamTests(Rendering gl)
{
    private const int Width = 320;
    private const int Height = 240;
    private const float Albedo = 0.5f;

    private static Beam Framed()
    {
        var profile = AngularProfile.FromTwoAngles(BeamForm.Rectangle, new Vector2(Angles.Radians(24), Angles.Radians(14)), 1.3f);
        var n = Vector2.Normalize(new Vector2(0.3f, 1));
        return Scenes.Spot(new Vector3(0, 0, 6), new Vector3(1, 0, 0)) with
        {
            Profile = profile,
            FluxLumens = 10000 / profile.CandelaPerLumen,
            StartDistance = 0.02f,
            ApertureRadius = 0.001f,
            Blades = new Blades(2, new(1, 0, 0.1f), new(n, 0.05f), default, default, 0, 1),
        };
    }

    [Fact]
    public void In_haze_it_is_as_bright_as_pov_ray_makes_it()
    {
        var builder = Scenes.Builder();
        builder.Begin();
        builder.Haze = new Haze(0.03f, 0.9f, 0.6f);
        builder.Add(Framed());
        var camera = new Camera { Name = "side", Position = new(0, -9, 3), Target = new(0, 0, 3), VerticalFieldRadians = Angles.Radians(40), Ev100 = 0 };
        var ours = Draw(builder, camera);
        var theirs = PovRayRun.Render("framed-in-haze.pov", Width, Height);
        for (var i = 0; i < theirs.Rgb.Length; i++)
        {
            // POV-Ray's phase function lacks its 1 / 4 pi.
            theirs.Rgb[i] /= 4 * MathF.PI;
        }

        PovRayRun.KeepBoth("framed-in-haze.png", ours, theirs, -1);
        Compare("framed-in-haze", ours, theirs, 40, 0.005, 0.01, 0.05);
    }

    [Fact]
    public void On_the_floor_it_is_as_bright_and_as_large()
    {
        var builder = Scenes.Builder();
        builder.Begin();
        builder.Haze = Haze.None;
        builder.Add(Scenes.Floor(40, Albedo));
        builder.Add(Framed());
        var camera = new Camera
        {
            Name = "above",
            Position = new(0.9f, 0, 5),
            Target = new(0.9f, 0, 0),
            Up = Vector3.UnitY,
            VerticalFieldRadians = Angles.Radians(40),
            Ev100 = 1,
        };
        var ours = Draw(builder, camera);
        for (var i = 0; i < ours.Rgb.Length; i++)
        {
            // Luminance of a matt floor to illuminance.
            ours.Rgb[i] *= MathF.PI / Albedo;
        }

        var theirs = PovRayRun.Render("framed-on-floor.pov", Width, Height);
        PovRayRun.KeepBoth("framed-on-floor.png", ours, theirs, 6);
        Compare("framed-on-floor", ours, theirs, 0, 0.005, 0.002, 0.05);
    }

    private LinearImage Draw(Light.Unfolding.MomentBuilder builder, Camera camera) => gl.Renderer.Render(builder.Build(TimeSpan.Zero), camera,
        new RenderSettings { Width = Width, Height = Height, Linear = true, Screen = false }).Linear!;

    /// <summary>Pixels of at least a tenth of their row's brightest, and all light.</summary>
    private static void Compare(string name, LinearImage ours, LinearImage theirs, int from, double all, double median, double tail)
    {
        var errors = new List<float>();
        var either = 0;
        double sumOurs = 0, sumTheirs = 0;
        for (var y = from; y < Height; y++)
        {
            var most = Enumerable.Range(0, Width).Max(x => theirs.LuminanceAt(x, y));
            for (var x = 0; x < Width; x++)
            {
                var (a, b) = (ours.LuminanceAt(x, y), theirs.LuminanceAt(x, y));
                (sumOurs, sumTheirs) = (sumOurs + a, sumTheirs + b);
                either += most > 0 && a > 0.1f * most != b > 0.1f * most ? 1 : 0;
                if (b > 0.1f * most)
                {
                    errors.Add(MathF.Abs((a / b) - 1));
                }
            }
        }

        errors.Sort();
        var said = $"{errors.Count} pixels, {either} lit in one picture alone, error p50 {errors[errors.Count / 2]:P2}, "
            + $"p95 {errors[errors.Count * 95 / 100]:P2}, "
            + $"all light {(sumOurs / sumTheirs) - 1:P2}";
        File.WriteAllText(Path.Combine(Repo.Out("povray"), name + ".txt"), said + "\n");
        Assert.True(errors.Count > 3000, said);
        Assert.True(either < errors.Count * 0.05, said);
        Assert.True(Math.Abs((sumOurs / sumTheirs) - 1) < all, said);
        Assert.True(errors[errors.Count / 2] < median && errors[errors.Count * 95 / 100] < tail, said);
    }
}
