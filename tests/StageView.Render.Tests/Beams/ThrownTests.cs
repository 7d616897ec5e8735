using System.Numerics;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Beams;

/// <summary>A projector's picture changes while the beam stands: the picture on the floor follows, and comes back as it was.</summary>
[Collection("gl")]
public sealed class ThrownTests(Rendering gl)
{
    [Fact]
    public void What_is_drawn_follows_the_picture_that_is_thrown()
    {
        var settings = new RenderSettings { Width = 160, Height = 90 };
        var (red, green) = (Picture(Vector3.UnitX), Picture(Vector3.UnitY));
        var first = Draw(red);
        var second = Draw(green);
        Assert.Equal(first, Draw(red));
        Assert.Equal(second, Draw(green));

        // Somewhere it is bright, and there nothing but its colour.
        Assert.Contains(Enumerable.Range(0, 160 * 90), i => first[4 * i] > 60 && first[(4 * i) + 1] < first[4 * i] / 3 && second[(4 * i) + 1] > 60
            && second[4 * i] < second[(4 * i) + 1] / 2);

        byte[] Draw(GoboImage picture)
        {
            var b = Scenes.Builder();
            b.GoboImages = [SourceTests.Spokes()];
            b.Begin();
            b.Haze = Haze.None;
            b.Add(Scenes.Floor(albedo: 0.4f));
            b.Add(Scenes.Spot(new Vector3(-3, -1, 6), new Vector3(0.5f, 2, 0), 20000, 18, 22));
            b.Throw(picture, 1, _ => true);
            return [.. gl.Renderer.Render(b.Build(TimeSpan.Zero), Scenes.House(), settings).Screen!.Rgba];
        }
    }

    private static GoboImage Picture(Vector3 colour) => ThrownPicture.Of("plain", 1, 64, (_, _, _, _) => colour);
}
