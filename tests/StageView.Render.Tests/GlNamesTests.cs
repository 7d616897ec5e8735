using StageView.Render.Settings;

namespace StageView.Render.Tests;

/// <summary>A night has a million frames: none may leave anything behind on the graphics device.</summary>
[Collection("gl")]
public sealed class GlNamesTests(Rendering gl)
{
    [Fact]
    public void Sizes_shows_and_mirrors_that_change_leave_no_objects_behind()
    {
        Round();
        var before = LiveObjects.In(gl.Renderer.Context);
        for (var i = 0; i < 4; i++)
        {
            Round();
        }

        Assert.Equal(before, LiveObjects.In(gl.Renderer.Context));

        void Round()
        {
            foreach (var (beams, mirrors, width, height) in new[] { (4, false, 160, 90), (20, true, 96, 54), (1, true, 200, 120), (40, false, 64, 64),
                (0, false, 160, 90) })
            {
                gl.Renderer.Render(Scenes.Stage(beams, mirrors), Scenes.House(), new RenderSettings { Width = width, Height = height, WorkLightLux = beams });
            }
        }
    }
}
