using System.Numerics;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Views;

/// <summary>Mirror planes past the number that is looked into stay black, and the picture and the frame say so.</summary>
[Collection("gl")]
public sealed class BlackMirrorTests(Rendering gl)
{
    private static readonly RenderSettings Small = new() { Width = 320, Height = 180, WorkLightLux = 50 };

    [Fact]
    public void Forty_planes_all_show_the_room()
    {
        var moment = ViewTests.Panels(10, 4);
        var frame = gl.Renderer.Render(moment, Scenes.House(2), Small);
        PngPicture.Write(Path.Combine(Repo.Out("views"), "forty-planes.png"), frame.Screen!);
        Assert.Empty(frame.LeftOut);
        var few = gl.Renderer.Render(moment, Scenes.House(2), Small with { MirrorViews = 32 });
        Assert.Contains("8 mirror planes", Assert.Single(few.LeftOut), StringComparison.Ordinal);
        Assert.False(frame.Screen!.Rgba.AsSpan(320 * 4 * 40).SequenceEqual(few.Screen!.Rgba.AsSpan(320 * 4 * 40)), "the last eight show nothing");
    }

    [Fact]
    public void Those_that_stay_black_are_told_by_the_frame_and_on_the_picture()
    {
        var moment = ViewTests.Panels(3, 1);
        var all = gl.Renderer.Render(moment, Scenes.House(2), Small);
        var cut = gl.Renderer.Render(moment, Scenes.House(2), Small with { MirrorViews = 2 });
        PngPicture.Write(Path.Combine(Repo.Out("views"), "told.png"), cut.Screen!);
        Assert.Contains("1 mirror plane ", Assert.Single(cut.LeftOut), StringComparison.Ordinal);
        Assert.Contains(gl.Renderer.LeftOut, told => told == cut.LeftOut[0]);
        Assert.False(Corner(all.Screen!).SequenceEqual(Corner(cut.Screen!)), "nothing is written into the corner");
    }

    [Fact]
    public void Beams_that_are_missing_are_told_by_the_frame()
    {
        var b = Scenes.Builder();
        b.MostBeams = 1;
        b.Begin();
        b.Add(Scenes.Floor());
        b.Add(Scenes.Spot(new Vector3(0, -3, 3), new Vector3(0, 9, 3)));
        b.AddMirror(new Vector3(0, 9, 3), -Vector3.UnitY, Vector3.UnitZ, 3, 3);
        var frame = gl.Renderer.Render(b.Build(TimeSpan.Zero), Scenes.House(2), Small);
        Assert.Contains("light is missing", Assert.Single(frame.LeftOut), StringComparison.Ordinal);
    }

    private static ReadOnlySpan<byte> Corner(PixelImage image) => image.Rgba.AsSpan(0, image.Width * 4 * 16);
}
