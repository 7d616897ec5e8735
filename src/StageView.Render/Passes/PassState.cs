using Silk.NET.OpenGL;

namespace StageView.Render;

/// <summary>States that several passes start from. Each pass sets all that it depends on; none restores.</summary>
internal static class PassState
{
    /// <summary>Additive blending into radiance, depth read but not written, faces culled as the pass says.</summary>
    public static void AddLight(GL gl, Framebuffer target)
    {
        target.Bind();
        gl.Enable(EnableCap.Blend);
        gl.BlendEquation(BlendEquationModeEXT.FuncAdd);
        gl.BlendFunc(BlendingFactor.One, BlendingFactor.One);
        gl.DepthMask(false);
        gl.Enable(EnableCap.CullFace);
    }

    /// <summary>A triangle over the whole target, nothing tested or blended.</summary>
    public static void WholeScreen(GL gl, Framebuffer target)
    {
        target.Bind();
        gl.Disable(EnableCap.Blend);
        gl.Disable(EnableCap.DepthTest);
        gl.Disable(EnableCap.CullFace);
        gl.DepthMask(false);
    }
}
