using Silk.NET.OpenGL;
using StageView.Render.Resources;
using StageView.Render.Views;

namespace StageView.Render.Passes;

/// <summary>States that several passes start from. Each pass sets all that it depends on; none restores.</summary>
internal static class PassState
{
    /// <summary>Additive blending into radiance, depth read but not written, faces culled as the pass says.</summary>
    public static void AddLight(GL gl, FrameTarget target)
    {
        target.Bind();
        gl.Enable(EnableCap.Blend);
        gl.BlendEquation(BlendEquationModeEXT.FuncAdd);
        gl.BlendFunc(BlendingFactor.One, BlendingFactor.One);
        gl.DepthMask(false);
        gl.Enable(EnableCap.CullFace);
        gl.Disable(EnableCap.ClipDistance0);
    }

    /// <summary>Opaque surfaces from both sides, cut at the mirror's face when the view looks out of one.</summary>
    public static void Surfaces(GL gl, FrameTarget target, View view)
    {
        target.Bind();
        gl.DepthMask(true);
        gl.Disable(EnableCap.Blend);
        gl.Enable(EnableCap.DepthTest);
        gl.DepthFunc(DepthFunction.Less);
        gl.Disable(EnableCap.CullFace);
        if (view.IsMirrored)
        {
            gl.Enable(EnableCap.ClipDistance0);
        }
        else
        {
            gl.Disable(EnableCap.ClipDistance0);
        }
    }

    /// <summary>A triangle over the whole target, nothing tested or blended.</summary>
    public static void WholeScreen(GL gl, FrameTarget target)
    {
        target.Bind();
        gl.Disable(EnableCap.Blend);
        gl.Disable(EnableCap.DepthTest);
        gl.Disable(EnableCap.CullFace);
        gl.DepthMask(false);
    }
}
