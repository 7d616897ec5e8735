using Silk.NET.OpenGL;
using StageView.Light;

namespace StageView.Render;

/// <summary>Owns the passes and runs them in order: surfaces, light on surfaces, light in the haze, screen.</summary>
internal sealed class Frame : IDisposable
{
    private readonly GL _gl;
    private readonly MeshStore _meshes;
    private readonly ViewBlock _block;
    private readonly BeamStops _stops = new();
    private readonly BeamBatch _batch = new();
    private readonly BeamHulls _hulls = new();
    private readonly BeamHullBuffer _hullBuffer;
    private readonly GpuTable _rows;
    private readonly GpuTable _edges;
    private readonly GeometryPass _geometry;
    private readonly SurfaceLightPass _surfaceLight;
    private readonly HazePass _haze;

    public Frame(GlContext context)
    {
        _gl = context.Gl;
        _meshes = new MeshStore(_gl);
        _block = new ViewBlock(_gl);
        _hullBuffer = new BeamHullBuffer(_gl);
        _rows = new GpuTable(_gl);
        _edges = new GpuTable(_gl);
        _geometry = new GeometryPass(_gl, _meshes);
        _surfaceLight = new SurfaceLightPass(_gl);
        _haze = new HazePass(_gl);
    }

    /// <summary>What is the same for all views of a moment.</summary>
    public void Prepare(Moment moment)
    {
        _meshes.Hold(moment.Meshes);
        _geometry.Prepare(moment);
        _stops.Fill(moment, _meshes);
        _batch.Fill(moment, _stops);
        _rows.Fill(_batch.Rows.Span);
        _edges.Fill(_batch.Edges.Span);
    }

    /// <summary>Draws one view's radiance at the eye into <see cref="Targets.Radiance"/>.</summary>
    public void Draw(Moment moment, View view, Targets targets, RenderSettings settings)
    {
        _gl.Viewport(0, 0, (uint)view.Width, (uint)view.Height);
        _gl.FrontFace(view.Flipped ? FrontFaceDirection.CW : FrontFaceDirection.Ccw);
        _block.Fill(view, moment, settings.WorkLightLux);
        _geometry.Draw(view, targets);
        _hulls.Fill(moment, _batch, view);
        _hullBuffer.Fill(_hulls);
        _rows.Bind(Slots.BeamRows);
        _edges.Bind(Slots.BeamEdges);
        _surfaceLight.Draw(targets, _hullBuffer);
        if (moment.Haze.ScatteringPerMetre > 0)
        {
            _haze.Draw(targets, _hullBuffer);
        }
    }

    public void Dispose()
    {
        _haze.Dispose();
        _surfaceLight.Dispose();
        _geometry.Dispose();
        _edges.Dispose();
        _rows.Dispose();
        _hullBuffer.Dispose();
        _block.Dispose();
        _meshes.Dispose();
    }
}
