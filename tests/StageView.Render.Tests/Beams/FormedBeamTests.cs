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

/// <summary>Beams that are no plain circle: the picture shows what the meter and the reference integral say, by fragments and by tiles.</summary>
[Collection("gl")]
public sealed class FormedBeamTests(Rendering gl, ITestOutputHelper output)
{
    private static readonly RenderSettings Small = new() { Width = 320, Height = 180, Linear = true };

    /// <summary>Blades along top and right, one of them askew, and a lower one that is nearly out.</summary>
    internal static readonly Blades Three = new(3, new(0, 1, 0.05f), new(Vector2.Normalize(new(1, 0.3f)), 0.07f), new(0, -1, 0.13f), default, 0.002f, 0.2f);

    public static TheoryData<string> Forms => ["rectangle", "ellipse", "blades", "out of focus", "slit", "framed rectangle", "web", "two gobos",
        "gobo and blades", "a wheel alone", "over a mirror"];

    /// <summary>One beam from up left onto the floor, or over a mirror.</summary>
    internal static Beam Of(string form)
    {
        var round = Scenes.Spot(new Vector3(-3, -1, 6), new Vector3(0.5f, 2, 0), 20000, 18, 22);
        var rectangle = round with { Profile = AngularProfile.FromTwoAngles(BeamForm.Rectangle, new Vector2(Angles.Radians(24), Angles.Radians(12)), 1.15f) };
        return form switch
        {
            "rectangle" => rectangle,
            "ellipse" => round with { Profile = AngularProfile.FromTwoAngles(BeamForm.Ellipse, new Vector2(Angles.Radians(10), Angles.Radians(28)), 1.5f) },
            "blades" => round with { Blades = Three },
            "out of focus" => round with { Blades = Three, FocusDistance = 3 },
            "slit" => round with { Blades = new(2, new(0, 1, 0.01f), new(0, -1, 0.01f), default, default, 0.004f, 0.2f) },
            "framed rectangle" => rectangle with { Blades = Three with { Softness = 0.01f } },
            "web" => round with { Profile = AngularProfile.FromWeb(new WebIndex(0), 0.35f, 4, 0.15f, 0.3f), Blades = Three },
            "two gobos" => round with
            {
                Gobo = new GoboState(2, 0.4f, 0.1f),
                SecondGobo = new GoboState(2, -0.3f, 0),
                ThirdGobo = new GoboState(2, 0.2f, 2, 3.2f)
            },
            "gobo and blades" => round with { Gobo = new GoboState(2, 0.4f, 0), Blades = Three },
            "a wheel alone" => round with { Gobo = new GoboState(2, 0.7f, 2, 3.2f), Blades = Three },
            _ => (rectangle with { Blades = Three }) with
            {
                Axis = Vector3.Normalize(new Vector3(4, 8, 3) - round.Apex),
                Up = Vector3.Normalize(Vector3.Cross(
                Vector3.Normalize(Vector3.Cross(new Vector3(4, 8, 3) - round.Apex, Vector3.UnitZ)), Vector3.Normalize(new Vector3(4, 8, 3) - round.Apex)))
            },
        };
    }

    internal static Moment Moment(string form, Haze haze)
    {
        var b = Scenes.Builder();
        b.GoboImages = [SourceTests.Spokes(), Blotch()];
        b.Webs = [SourceTests.Lopsided];
        b.Begin();
        b.Haze = haze;
        b.Add(Scenes.Floor(albedo: 0.4f));
        if (form == "over a mirror")
        {
            b.AddMirror(new Vector3(4, 8, 3), Vector3.Normalize(new Vector3(-0.3f, -1, -0.3f)), Vector3.Normalize(new Vector3(0, -0.3f, 1)), 4, 4);
        }

        b.Add(Of(form));
        return b.Build(TimeSpan.Zero);
    }

    /// <summary>A soft pattern that is nowhere dark.</summary>
    private static GoboImage Blotch()
    {
        var rgb = new byte[128 * 128 * 3];
        for (var i = 0; i < 128 * 128; i++)
        {
            rgb.AsSpan(i * 3, 3).Fill((byte)(150 + (100 * MathF.Sin(i % 128 * 0.2f) * MathF.Sin(i / 128 * 0.25f))));
        }

        return new GoboImage { Name = "blotch", Size = 128, Rgb = rgb, Transmission = 150f / 255 };
    }

    private RenderedFrame Draw(Moment moment, Camera camera, bool tiled, string name)
    {
        if (tiled && gl.Renderer.Context.Version < 43)
        {
            Assert.Skip($"\"{gl.Renderer.Context.Renderer}\" offers OpenGL {gl.Renderer.Context.Version / 10.0:F1}; compute needs 4.3");
        }

        var frame = gl.Renderer.Render(moment, camera, Small with { Tiled = tiled });
        PngPicture.Write(Path.Combine(Repo.Out("formed"), $"{name}{(tiled ? "-tiles" : "")}.png"), frame.Screen!);
        return frame;
    }

    [Theory]
    [MemberData(nameof(Forms))]
    public void The_floor_shows_what_the_meter_says(string form)
    {
        var moment = Moment(form, new Haze(0, 0, 0));
        var camera = Scenes.House() with { Position = new Vector3(1, 1, 13), Target = new Vector3(1, 2, 0) };
        var meter = new LightMeter(moment, null);
        var scene = OcclusionScene.From(moment);
        foreach (var tiled in (bool[])[false, true])
        {
            var picture = Draw(moment, camera, tiled, $"floor-{form}").Linear!;
            var (lit, wrong) = (0, 0);
            double sum = 0, expectedSum = 0;
            var said = "";
            for (var i = 0; i < picture.Width * picture.Height; i++)
            {
                var (x, y) = (i % picture.Width, i / picture.Width);
                var d = Sight.Ray(camera, picture.Width, picture.Height, x, y);
                var t = -camera.Position.Z / d.Z;
                // Not on the floor: the mirror, and the lens.
                if ((scene.Closest(camera.Position, d, 900, FixtureIndex.None, out var hit) && !hit.Mirror.IsNone)
                    || Vector3.Dot(d, Vector3.Normalize(moment.Beams.Span[0].Apex - camera.Position)) > 0.995f)
                {
                    continue;
                }

                var place = camera.Position + (d * t);
                float At(float dx, float dy) => BeamPhotometry.Luminance(meter.At(place + new Vector3(dx, dy, 0), Vector3.UnitZ).Rgb) * 0.4f / MathF.PI;
                var expected = At(0, 0);
                (sum, expectedSum) = (sum + picture.LuminanceAt(x, y), expectedSum + expected);
                lit += expected > 1 ? 1 : 0;

                // Edges are as fine as a pixel in the picture.
                var foot = 1.5f * t * t / camera.Position.Z * 2 * MathF.Tan(camera.VerticalFieldRadians / 2) / picture.Height;
                float[] near = [At(foot / 3, 0), At(-foot / 3, 0), At(0, foot), At(0, -foot), expected];
                if (picture.LuminanceAt(x, y) < (0.99f * near.Min()) - 0.05f || picture.LuminanceAt(x, y) > (1.01f * near.Max()) + 0.05f)
                {
                    wrong++;
                    said = $"pixel {x},{y}: {picture.LuminanceAt(x, y)} and not {expected} cd/m2, {near.Min()} to {near.Max()} about it";
                }
            }

            output.WriteLine($"{form}, {(tiled ? "tiles" : "fragments")}: {lit} lit, {wrong} wrong, light {(sum / expectedSum) - 1:P2}; {said}");
            Assert.True(lit > 200);
            Assert.True(wrong <= lit * 0.005, said);
            Assert.Equal(1, sum / expectedSum, 0.005);
        }
    }

    [Theory]
    [MemberData(nameof(Forms))]
    public void The_haze_is_what_the_reference_integral_says(string form)
    {
        var moment = Moment(form, Scenes.Air);
        var camera = Scenes.House();
        var scene = OcclusionScene.From(moment);
        var reference = new ReferenceRadiance(moment, moment.Mirrors.Length > 0 ? scene : null, 1e-4);
        foreach (var tiled in (bool[])[false, true])
        {
            var picture = Draw(moment, camera, tiled, $"haze-{form}").Linear!;
            var random = new Random(7);
            var errors = new List<double>();
            double sum = 0, expectedSum = 0;
            for (var tries = 0; errors.Count < 300 && tries < 200_000; tries++)
            {
                var (x, y) = (random.Next(picture.Width), random.Next(picture.Height));
                var d = Sight.Ray(camera, picture.Width, picture.Height, x, y);
                if (scene.Closest(camera.Position, d, 900, FixtureIndex.None, out _))
                {
                    continue;
                }

                var expected = BeamPhotometry.Luminance(reference.Along(camera.Position, d, 900));
                if (expected > 0.01f)
                {
                    errors.Add(Math.Abs((picture.LuminanceAt(x, y) / expected) - 1));
                    (sum, expectedSum) = (sum + picture.LuminanceAt(x, y), expectedSum + expected);
                }
            }

            errors.Sort();
            var said = $"{form}, {(tiled ? "tiles" : "fragments")}: {errors.Count} rays, p50 {errors[errors.Count / 2]:P2}, "
                + $"p95 {errors[errors.Count * 95 / 100]:P2}, "
                + $"light {(sum / expectedSum) - 1:P2}";
            output.WriteLine(said);
            Assert.Equal(300, errors.Count);
            // The product of images as blurred as the steps are long isn't the blurred product.
            var slack = form == "two gobos" ? 2 : 1;
            Assert.True(errors[150] < 0.01 * slack && errors[285] < 0.03 * slack, said);
            Assert.Equal(1, sum / expectedSum, 0.01 * slack);
        }
    }
}
