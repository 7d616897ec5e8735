using StageView.Render.Contexts;
using StageView.Render.Settings;

namespace StageView.Render.Tests.Settings;

/// <summary>Pictures that are given up half-way.</summary>
[Collection("gl")]
public sealed class OvertakenTests(Rendering gl)
{
    private static readonly RenderSettings s_settings = new() { Width = 320, Height = 180, WorkLightLux = 2 };

    [Fact]
    public void A_picture_drawn_in_parts_is_the_same_and_is_asked_for_often()
    {
        Assert.SkipUnless(gl.Renderer.Context.IsSoftware, "a GPU has the whole picture in its queue and is not asked");
        var moment = Scenes.Stage(40, mirrors: true, beamDegrees: 9, fieldDegrees: 12);
        var asked = 0;
        var whole = gl.Renderer.Render(moment, Scenes.House(), s_settings).Screen!;
        var parts = gl.Renderer.Render(moment, Scenes.House(), s_settings with { Overtaken = () => ++asked < 0 }).Screen!;
        Assert.Equal(whole.Rgba, parts.Rgba);
        Assert.True(asked > 100, $"asked {asked} times");
    }

    // At any part, among them half-drawn shadow tiles, which the next picture must not take for whole.
    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(4)]
    [InlineData(30)]
    [InlineData(90)]
    public void After_a_picture_that_was_given_up_the_next_one_is_right(int part)
    {
        Assert.SkipUnless(gl.Renderer.Context.IsSoftware, "a GPU has the whole picture in its queue and is not asked");
        var before = Scenes.Stage(12, mirrors: true, beamDegrees: 20, fieldDegrees: 28);
        var moment = Scenes.Stage(40, mirrors: true, beamDegrees: 9, fieldDegrees: 12);
        using var fresh = new FrameRenderer(gl.Renderer.Context);
        var wanted = fresh.Render(moment, Scenes.House(), s_settings).Screen!;
        gl.Renderer.Render(before, Scenes.House(), s_settings);
        var asked = 0;
        Assert.Throws<PictureOvertakenException>(() => gl.Renderer.Render(moment, Scenes.House(), s_settings with { Overtaken = () => ++asked == part }));
        Assert.Equal(part, asked);
        Assert.Equal(wanted.Rgba, gl.Renderer.Render(moment, Scenes.House(), s_settings).Screen!.Rgba);
    }
}
