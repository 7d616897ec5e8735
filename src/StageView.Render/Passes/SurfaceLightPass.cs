using Silk.NET.OpenGL;
using StageView.Render.Beams;
using StageView.Render.Resources;
using StageView.Render.Views;

namespace StageView.Render.Passes;

/// <summary>
/// Adds every beam's light on the surfaces inside its hull. The hull's back must lie behind the surface, which the depth test tells before a fragment is made.
/// At a fraction of the resolution illuminance goes into a small target first and is brought up after, onto each pixel's own albedo.
/// </summary>
internal sealed class SurfaceLightPass(GL gl) : IDisposable
{
    /// <summary>Every so many pixels of each row and column of a coarse picture have their light worked out.</summary>
    public const int Scale = 4;

    private readonly BeamPrograms _programs = new(gl, "surfacelight.frag");
    private readonly BeamPrograms _shinyPrograms = new(gl, "surfacelight.frag", "SHINY");
    private readonly BeamPrograms _coarsePrograms = new(gl, "surfacelight.frag", $"SCALE {Scale}", "SEARCHES 4", "FILTERS 4");
    private readonly CoarseLight _coarse = new(gl, onSurfaces: true);

    /// <param name="view">Who looks.</param>
    /// <param name="targets">What the light is added to.</param>
    /// <param name="hulls">The beams.</param>
    /// <param name="coarse">At every fourth pixel of each row and column.</param>
    /// <param name="shiny">Something shines; coarse all is matt.</param>
    /// <param name="more">Adds other illuminance where it is coarse.</param>
    public void Draw(View view, Targets targets, BeamHullBuffer hulls, bool coarse, bool shiny, Action? more = null)
    {
        targets.Distance.Bind(Slots.DistanceMap);
        targets.Albedo.Bind(Slots.AlbedoMap);
        targets.Normal.Bind(Slots.NormalMap);
        if (!coarse)
        {
            PassState.AddLight(gl, targets.Light);
            Draw(hulls, shiny ? _shinyPrograms : _programs);
            return;
        }

        _coarse.Enter(view, Scale, targets.Distance);
        _coarse.TakeDepth(view, targets, Scale);
        Draw(hulls, _coarsePrograms);
        if (more is not null)
        {
            _coarse.Whole(view, Scale);
            more();
        }

        _coarse.BringUp(view, targets, Scale, tiled: false);
        DrawThin(targets, hulls);
    }

    private void Draw(BeamHullBuffer hulls, BeamPrograms programs)
    {
        gl.CullFace(TriangleFace.Front);
        gl.Enable(EnableCap.DepthTest);
        gl.DepthFunc(DepthFunction.Greater);
        for (var kind = 0; kind < BeamHulls.Kinds; kind++)
        {
            if (BeamHulls.OnSurfaces(kind) && (hulls.Has(kind, false) || hulls.Has(kind, true)))
            {
                programs.Of(BeamHulls.SurfaceShader(kind)).Use();
                hulls.Draw(kind, false);
                hulls.Draw(kind, true);
            }
        }
    }

    /// <summary>A thin beam's spot may lie between the cells, and is drawn as it is.</summary>
    private void DrawThin(Targets targets, BeamHullBuffer hulls)
    {
        PassState.AddLight(gl, targets.Light);
        gl.CullFace(TriangleFace.Front);
        gl.Enable(EnableCap.DepthTest);
        for (var kind = 0; kind < BeamHulls.Kinds; kind++)
        {
            if (BeamHulls.OnSurfaces(kind) && hulls.HasThin(kind))
            {
                _programs.Of(BeamHulls.SurfaceShader(kind)).Use();
                hulls.DrawThin(kind);
            }
        }
    }

    public void Dispose()
    {
        _programs.Dispose();
        _shinyPrograms.Dispose();
        _coarsePrograms.Dispose();
        _coarse.Dispose();
    }
}
