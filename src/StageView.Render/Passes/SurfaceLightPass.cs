using Silk.NET.OpenGL;
using StageView.Render.Beams;
using StageView.Render.Resources;

namespace StageView.Render.Passes;

/// <summary>
/// Adds every beam's light on the surfaces inside its hull. The hull's back must lie behind the surface, which the depth test tells before a fragment is made.
/// </summary>
internal sealed class SurfaceLightPass(GL gl) : IDisposable
{
    private readonly BeamPrograms _programs = new(gl, "surfacelight.frag");

    public void Draw(Targets targets, BeamHullBuffer hulls)
    {
        PassState.AddLight(gl, targets.Light);
        gl.CullFace(TriangleFace.Front);
        gl.Enable(EnableCap.DepthTest);
        gl.DepthFunc(DepthFunction.Greater);
        targets.Distance.Bind(Slots.DistanceMap);
        targets.Albedo.Bind(Slots.AlbedoMap);
        targets.Normal.Bind(Slots.NormalMap);
        for (var kind = 0; kind < BeamHulls.Kinds; kind++)
        {
            if (BeamHulls.OnSurfaces(kind) && (hulls.Has(kind, false) || hulls.Has(kind, true)))
            {
                _programs.Of(BeamHulls.SurfaceShader(kind)).Use();
                hulls.Draw(kind, false);
                hulls.Draw(kind, true);
            }
        }
    }

    public void Dispose() => _programs.Dispose();
}
