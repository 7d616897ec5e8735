using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests.PovRay;

/// <summary>Against POV-Ray's photons: mirror-bounce.pov holds the same scene.</summary>
[Collection("gl")]
public sealed class MirrorBounceTests(Rendering gl)
{
    private const int Width = 320;
    private const int Height = 240;
    private const float Albedo = 0.5f;

    [Fact]
    public void A_bounce_lands_where_and_as_pov_ray_s_photons_do()
    {
        var builder = Scenes.Builder();
        builder.Begin();
        builder.Haze = Haze.None;
        builder.Add(Scenes.Floor(40, Albedo));
        var turn = Angles.Radians(10);
        builder.AddMirror(new Vector3(0, 6, 3), new Vector3(MathF.Sin(turn), -MathF.Cos(turn), 0), Vector3.UnitZ, 1.2f, 0.8f);
        // All but flat up to nine tenths of the half beam angle, and the mirror lies within that.
        var profile = AngularProfile.FromBeamAndField(Angles.Radians(24), Angles.Radians(24.48f));
        builder.Add(Scenes.Spot(new Vector3(-2, 0, 5), new Vector3(0, 6, 3)) with
        {
            Profile = profile,
            FluxLumens = 10000 / profile.CandelaPerLumen,
            StartDistance = 0.02f,
            ApertureRadius = 0.001f,
        });
        var camera = new Camera
        {
            Name = "above",
            Position = new(5.9f, -1.4f, 20),
            Target = new(5.9f, -1.4f, 0),
            Up = Vector3.UnitY,
            VerticalFieldRadians = Angles.Radians(28),
            Ev100 = 1,
        };
        var ours = gl.Renderer.Render(builder.Build(TimeSpan.Zero), camera,
            new RenderSettings { Width = Width, Height = Height, Linear = true, Screen = false }).Linear!;
        for (var i = 0; i < ours.Rgb.Length; i++)
        {
            // Luminance of a matt floor to illuminance.
            ours.Rgb[i] *= MathF.PI / Albedo;
        }

        var theirs = PovRayRun.Render("mirror-bounce.pov", Width, Height);
        PovRayRun.KeepBoth("mirror-bounce.png", ours, theirs, 3);
        var (a, b) = (Spot(ours), Spot(theirs));
        var shared = 0;
        var either = 0;
        for (var i = 0; i < a.Lit.Length; i++)
        {
            shared += a.Lit[i] && b.Lit[i] ? 1 : 0;
            either += a.Lit[i] || b.Lit[i] ? 1 : 0;
        }

        var said =
            $"centroid {Vector2.Distance(a.Centre, b.Centre):0.00} pixels apart, flux {(a.Flux / b.Flux) - 1:P2}, illuminance at the middle "
            + $"{(a.Middle / b.Middle) - 1:P2}, outlines overlap {(float)shared / either:P1}";
        File.WriteAllText(Path.Combine(Repo.Out("povray"), "mirror-bounce.txt"), said + "\n");
        Assert.True(either > 3000, said);
        Assert.True(Vector2.Distance(a.Centre, b.Centre) < 1, said);
        Assert.True(Math.Abs((a.Flux / b.Flux) - 1) < 0.02, said);
        Assert.True(Math.Abs((a.Middle / b.Middle) - 1) < 0.02, said);
        Assert.True((float)shared / either > 0.95f, said);
    }

    /// <summary>Where the light lies: pixels above half of the mean of what is lit, their weighted middle, the sum, and the mean about the middle.</summary>
    private static (bool[] Lit, Vector2 Centre, double Flux, double Middle) Spot(LinearImage image)
    {
        var values = Enumerable.Range(0, image.Width * image.Height).Select(i => image.LuminanceAt(i % image.Width, i / image.Width)).ToArray();
        var most = values.Max();
        var mean = values.Where(v => v > 0.1f * most).Average();
        var sum = Vector2.Zero;
        var flux = 0.0;
        for (var i = 0; i < values.Length; i++)
        {
            sum += new Vector2(i % image.Width, i / image.Width) * values[i];
            flux += values[i];
        }

        var centre = sum / (float)flux;
        var middle = new List<float>();
        for (var y = (int)centre.Y - 12; y <= centre.Y + 12; y++)
        {
            for (var x = (int)centre.X - 12; x <= centre.X + 12; x++)
            {
                middle.Add(values[(y * image.Width) + x]);
            }
        }

        return (values.Select(v => v > 0.5f * mean).ToArray(), centre, flux, middle.Average());
    }
}
