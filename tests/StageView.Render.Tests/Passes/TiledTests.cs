using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Render.Output;
using StageView.Render.Settings;
using StageView.Render.Tests.Beams;
using StageView.Render.Tests.Views;

namespace StageView.Render.Tests.Passes;

/// <summary>Light by tiles in compute is the light that fragments give: the same functions, other lists. On a software rasteriser both run.</summary>
[Collection("gl")]
public sealed class TiledTests(Rendering gl, ITestOutputHelper output)
{
    /// <summary>
    /// Most that a picture element may differ by, of its own luminance or of a hundredth of the picture's mean, whichever is larger. Stands in
    /// docs/design/two-ways-to-a-picture.md.
    /// </summary>
    private const double Bound = 0.002;

    /// <summary>Share of the picture that may differ by more: edges of hulls and half-covered texels, where a ray just hits or just misses.</summary>
    private const double Beyond = 0.0005;

    public static TheoryData<string, int> Pictures => new()
    {
        { "large", 1 }, { "large", 2 }, { "kinds", 1 }, { "kinds", 4 }, { "uneven", 1 }, { "inside", 1 }, { "many", 1 }, { "panels", 1 }, { "panels", 2 },
        { "formed", 1 }, { "formed", 2 },
    };

    [Theory]
    [MemberData(nameof(Pictures))]
    public void Tiles_and_fragments_make_one_picture(string picture, int hazeScale)
    {
        if (gl.Renderer.Context.Version < 43)
        {
            Assert.Skip($"\"{gl.Renderer.Context.Renderer}\" offers OpenGL {gl.Renderer.Context.Version / 10.0:F1}; compute needs 4.3");
        }

        var moment = picture switch
        {
            "large" => Scenes.Large(60, 6000),
            "many" => Scenes.Stage(700, beamDegrees: 2, fieldDegrees: 3),
            "panels" => ViewTests.Panels(5, 2),
            "formed" => Formed(),
            "uneven" => Kinds(new Haze(0.02f, 0.95f, 0.65f) { Unevenness = 0.5f, PatchMetres = 1, Seed = 3 }),
            _ => Kinds(Scenes.Air),
        };
        var camera = picture == "inside" ? Scenes.House() with { Position = new Vector3(-1, 0, 4.5f), Target = new Vector3(-0.5f, 1, 2) } : Scenes.House();
        var settings = new RenderSettings { Width = 330, Height = 186, Linear = true, HazeScale = hazeScale, MirrorDepth = 2, Tiled = false };
        var fragments = gl.Renderer.Render(moment, camera, settings);
        var tiles = gl.Renderer.Render(moment, camera, settings with { Tiled = true });
        var again = gl.Renderer.Render(moment, camera, settings with { Tiled = true });
        PngPicture.Write(Path.Combine(Repo.Out("tiled"), $"{picture}-{hazeScale}-fragments.png"), fragments.Screen!);
        PngPicture.Write(Path.Combine(Repo.Out("tiled"), $"{picture}-{hazeScale}-tiles.png"), tiles.Screen!);
        Assert.Equal(tiles.Linear!.Rgb, again.Linear!.Rgb);
        Assert.Equal(tiles.Screen!.Rgba, again.Screen!.Rgba);

        var (mean, tiledMean) = (0d, 0d);
        for (var i = 0; i < 330 * 186; i++)
        {
            mean += fragments.Linear!.LuminanceAt(i % 330, i / 330) / (330 * 186);
            tiledMean += tiles.Linear!.LuminanceAt(i % 330, i / 330) / (330 * 186);
        }

        var (beyond, worst, at) = (0, 0d, 0);
        for (var i = 0; i < 330 * 186; i++)
        {
            var (a, b) = (fragments.Linear!.LuminanceAt(i % 330, i / 330), tiles.Linear!.LuminanceAt(i % 330, i / 330));
            var apart = Math.Abs(a - b) / Math.Max(a, 0.01 * mean);
            beyond += apart > Bound ? 1 : 0;
            (worst, at) = apart > worst ? (apart, i) : (worst, at);
        }

        output.WriteLine(
            $"{picture} at 1/{hazeScale}: {beyond} of {330 * 186} beyond {Bound:P1}, worst {worst:P3} at {at % 330}, {at / 330}; mean {mean:G3} cd/m2");
        Assert.True(mean > 0.01);
        Assert.InRange(tiledMean / mean, 0.99, 1.01);
        Assert.True(beyond <= Beyond * 330 * 186,
            $"{beyond} picture elements differ by more than {Bound:P1}, the worst by {worst:P2} at {at % 330}, {at / 330}");
    }

    /// <summary>Beams that are no plain circle, two of them shadowed, one off a mirror.</summary>
    private static Moment Formed()
    {
        var b = Scenes.Builder();
        b.GoboImages = [SourceTests.Spokes()];
        b.Webs = [SourceTests.Lopsided];
        b.Begin();
        b.Haze = Scenes.Air;
        b.Add(Scenes.Floor());
        b.Add(Scenes.Box(new Vector3(0, 1, 0.9f), new Vector3(1.2f, 0.6f, 1.8f)));
        b.AddMirror(new Vector3(4, 8, 3), Vector3.Normalize(new Vector3(-0.3f, -1, 0)), Vector3.UnitZ, 4, 4);
        foreach (var form in FormedBeamTests.Forms)
        {
            b.Add(FormedBeamTests.Of(form.Data));
        }

        return b.Build(TimeSpan.Zero);
    }

    /// <summary>Every kind of beam: soft and hard, gobo, web, all round, shadowed, behind a mirror.</summary>
    private static Moment Kinds(Haze haze)
    {
        var b = Scenes.Builder();
        b.GoboImages = [SourceTests.Spokes()];
        b.Webs = [SourceTests.Lopsided];
        b.Begin();
        b.Haze = haze;
        b.Add(Scenes.Floor());
        b.Add(Scenes.Box(new Vector3(0, 1, 0.9f), new Vector3(1.2f, 0.6f, 1.8f)));
        b.AddMirror(new Vector3(4, 8, 3), Vector3.Normalize(new Vector3(-0.3f, -1, 0)), Vector3.UnitZ, 4, 4);
        b.Add(Scenes.Spot(new Vector3(-4, -1, 6), new Vector3(-3, 2, 0), 20000, 16, 20));
        b.Add(Scenes.Spot(new Vector3(-1, -1, 6), new Vector3(-0.5f, 2, 0), 20000, 16, 20) with
        {
            Gobo = new GoboState(1, 0.4f, 0.2f),
            Frost = 0.2f,
            FocusDistance = 5
        });
        b.Add(Scenes.Spot(new Vector3(1, -1, 6), new Vector3(0.5f, 2, 0), 20000, 10, 20));
        b.Add(Scenes.Spot(new Vector3(-6, 3, 5), new Vector3(2, 1, 1), 20000, 16, 17));
        b.Add(Scenes.Spot(new Vector3(3, -1, 6), new Vector3(3, 2, 0), 20000, 16,
            20) with
        { Profile = AngularProfile.FromWeb(new WebIndex(0), 0.35f, 4, 0.15f, 0.3f) });
        b.Add(Scenes.Spot(new Vector3(-2, -3, 5), new Vector3(4, 8, 3), 30000, 8, 12));
        b.Add(Scenes.Spot(new Vector3(-5, 4, 2), new Vector3(-5, 4, 0), 900) with { Profile = AngularProfile.Omnidirectional, StartDistance = 0.15f });
        return b.Build(TimeSpan.Zero);
    }
}
