using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Render.Settings;

namespace StageView.Render.Tests.PovRay;

/// <summary>Against POV-Ray, a general-purpose renderer: beam-in-haze.pov holds the same scene.</summary>
[Collection("gl")]
public sealed class BeamInHazeTests(Rendering gl)
{
    private const int Width = 160;
    private const int Height = 120;

    [Fact]
    public void A_beam_in_haze_is_as_bright_as_pov_ray_makes_it()
    {
        var builder = Scenes.Builder();
        builder.Begin();
        builder.Haze = new Haze(0.03f, 0.9f, 0.6f);
        var profile = AngularProfile.FromBeamAndField(Angles.Radians(14), Angles.Radians(24));
        builder.Add(Scenes.Spot(new Vector3(0, 0, 6), new Vector3(1, 0, 0)) with
        {
            Profile = profile,
            FluxLumens = 10000 / profile.CandelaPerLumen,
            StartDistance = 0.02f,
            ApertureRadius = 0.001f,
        });
        var camera = new Camera { Name = "side", Position = new(0, -9, 3), Target = new(0, 0, 3), VerticalFieldRadians = Angles.Radians(40), Ev100 = 0 };
        var ours = gl.Renderer.Render(builder.Build(TimeSpan.Zero), camera,
            new RenderSettings { Width = Width, Height = Height, Linear = true, Screen = false }).Linear!;

        var theirs = PovRayRun.Render("beam-in-haze.pov", Width, Height);
        for (var i = 0; i < theirs.Rgb.Length; i++)
        {
            // POV-Ray's phase function lacks its 1 / 4 pi.
            theirs.Rgb[i] /= 4 * MathF.PI;
        }

        PovRayRun.KeepBoth("beam-in-haze.png", ours, theirs, -1);
        var errors = new List<float>();
        double sumOurs = 0, sumTheirs = 0;
        for (var y = 20; y < Height; y++)
        {
            var most = Enumerable.Range(0, Width).Max(x => theirs.LuminanceAt(x, y));
            for (var x = 0; x < Width; x++)
            {
                var (a, b) = (ours.LuminanceAt(x, y), theirs.LuminanceAt(x, y));
                sumOurs += a;
                sumTheirs += b;
                if (b > 0.1f * most)
                {
                    errors.Add((a / b) - 1);
                }
            }
        }

        var sizes = errors.Select(MathF.Abs).Order().ToArray();
        var said =
            $"{errors.Count} pixels, error p50 {sizes[sizes.Length / 2]:P2}, p95 {sizes[(int)(sizes.Length * 0.95)]:P2}, mean "
            + $"{errors.Average():P2}, all light {(sumOurs / sumTheirs) - 1:P2}";
        File.WriteAllText(Path.Combine(Repo.Out("povray"), "beam-in-haze.txt"), said + "\n");
        Assert.True(errors.Count > 2000, said);
        Assert.True(Math.Abs((sumOurs / sumTheirs) - 1) < 0.005, said);
        Assert.True(MathF.Abs(errors.Average()) < 0.005f, said);
        Assert.True(sizes[sizes.Length / 2] < 0.005f && sizes[(int)(sizes.Length * 0.95)] < 0.02f, said);
    }
}
