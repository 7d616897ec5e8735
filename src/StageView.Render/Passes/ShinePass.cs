using Silk.NET.OpenGL;
using StageView.Render.Plans;
using StageView.Render.Resources;
using StageView.Render.Views;

namespace StageView.Render.Passes;

/// <summary>
/// Rough mirror images in flat faces that shine: the view behind the face, drawn before, in ever coarser steps, looked up where facets throw it from. Lamps
/// are not in it: their images come with each beam's own light (<c>shaders/include/gloss.glsl</c>).
/// </summary>
internal sealed class ShinePass(GL gl, GlossTable gloss) : IDisposable
{
    private readonly uint _array = gl.GenVertexArray();
    private (GpuTexture Image, FrameTarget Target)? _steps;
    private GpuProgram? _copy;
    private GpuProgram? _program;

    /// <param name="group">The faces, in one plane.</param>
    /// <param name="view">Who looks.</param>
    /// <param name="targets">What the image is added to.</param>
    /// <param name="behind">The mirrored view and what it was drawn into.</param>
    /// <param name="enter">Sets what the passes of the view share.</param>
    public void Draw(MirrorGroups.Group group, View view, Targets targets, (View View, Targets Targets) behind, Action enter)
    {
        var (width, height) = ((targets.Radiance.Width + 1) / 2, (targets.Radiance.Height + 1) / 2);
        if (_steps is not { } steps || steps.Image.Width != width || steps.Image.Height != height)
        {
            Forget();
            var image = new GpuTexture(gl, InternalFormat.Rgba32f, width, height, linear: true, steps: true);
            _steps = steps = (image, new FrameTarget(gl, null, image));
        }

        var (x, y, w, h) = behind.View.Area;
        _copy ??= new GpuProgram(gl, "screen.vert", "shinecopy.frag");
        _program ??= new GpuProgram(gl, "screen.vert", "shine.frag");
        gl.BindVertexArray(_array);
        PassState.WholeScreen(gl, steps.Target);
        gl.Disable(EnableCap.ScissorTest);
        gl.Viewport(0, 0, (uint)width, (uint)height);
        _copy.Use();
        _copy.Set("area", x, y, w, h);
        behind.Targets.Radiance.Bind(Slots.MirrorMap);
        gl.DrawArrays(PrimitiveType.Triangles, 0, 3);
        steps.Image.MakeSteps();
        enter();
        gl.Scissor(x, y, (uint)w, (uint)h);
        PassState.AddLight(gl, targets.Light);
        gl.Disable(EnableCap.DepthTest);
        gl.Disable(EnableCap.CullFace);
        _program.Use();
        _program.Set("plane", group.Plane);
        steps.Image.Bind(Slots.MirrorMap);
        behind.Targets.Distance.Bind(Slots.HazeDistance);
        targets.Distance.Bind(Slots.DistanceMap);
        targets.Albedo.Bind(Slots.AlbedoMap);
        targets.Normal.Bind(Slots.NormalMap);
        gloss.Bind();
        gl.DrawArrays(PrimitiveType.Triangles, 0, 3);
    }

    public void Dispose()
    {
        Forget();
        _copy?.Dispose();
        _program?.Dispose();
        gl.DeleteVertexArray(_array);
    }

    private void Forget()
    {
        _steps?.Target.Dispose();
        _steps?.Image.Dispose();
        _steps = null;
    }
}
