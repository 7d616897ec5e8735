using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render.Tests;

[Collection("gl")]
public sealed class FrameRendererTests(Rendering gl)
{
    [Fact]
    public void The_same_frame_twice_is_the_same_bytes()
    {
        var settings = new RenderSettings { Width = 640, Height = 360, Linear = true };
        var moment = Scenes.Stage(30, mirrors: true);
        var first = gl.Renderer.Render(moment, Scenes.House(), settings);
        var second = gl.Renderer.Render(moment, Scenes.House(), settings);
        PngPicture.Write(Path.Combine(Repo.Out("frame"), "stage30.png"), first.Screen!);
        Assert.Equal(first.Linear!.Rgb, second.Linear!.Rgb);
        Assert.Equal(first.Screen!.Rgba, second.Screen!.Rgba);
        Assert.Contains(first.Screen.Rgba, v => v is > 60 and < 255);
    }
}
