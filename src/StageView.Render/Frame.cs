using Silk.NET.OpenGL;
using StageView.Light;

namespace StageView.Render;

/// <summary>Owns the passes and runs them in order: surfaces, light on surfaces, light in the haze, screen.</summary>
internal sealed class Frame : IDisposable
{
    private readonly GL _gl;
    private readonly GlContext _context;
    private readonly MeshStore _meshes;
    private readonly ViewBlock _block;
    private readonly BeamStops _stops = new();
    private readonly BeamBatch _batch = new();
    private readonly BeamHullBuffer _hullBuffer;
    private readonly GpuTable _rows;
    private readonly GpuTable _edges;
    private readonly MirrorGroups _mirrors = new();
    private readonly ViewPlans _plans;
    private readonly List<Targets> _levels = [];
    private readonly GeometryPass _geometry;
    private readonly PixelPass _pixels;
    private readonly LaserPass _lasers;
    private readonly WebTable _webs;
    private readonly GoboArray _gobos;
    private readonly LensPass _lenses;
    private readonly MirrorPass _mirrorFaces;
    private readonly ShadowPass _shadows;
    private readonly SurfaceLightPass _surfaceLight;
    private readonly AreaLightPass _areaLight;
    private readonly AreaHazePass _areaHaze;
    private readonly HazePass _haze;
    private readonly TiledLightPass _tiled;

    public int ShadowTilesDrawn => _shadows.Redrawn;

    /// <summary>Time by pass.</summary>
    public PassTimer Timer { get; }

    public Frame(GlContext context)
    {
        (_gl, _context) = (context.Gl, context);
        Timer = new PassTimer(_gl);
        _plans = new ViewPlans(_mirrors, _batch, _stops);
        _meshes = new MeshStore(_gl);
        _block = new ViewBlock(_gl);
        _hullBuffer = new BeamHullBuffer(_gl);
        _rows = new GpuTable(_gl);
        _edges = new GpuTable(_gl);
        _geometry = new GeometryPass(_gl, _meshes);
        _pixels = new PixelPass(_gl);
        _lasers = new LaserPass(_gl);
        _webs = new WebTable(_gl);
        _gobos = new GoboArray(_gl);
        _lenses = new LensPass(_gl);
        _mirrorFaces = new MirrorPass(_gl);
        _shadows = new ShadowPass(_gl, _meshes);
        _surfaceLight = new SurfaceLightPass(_gl);
        _areaLight = new AreaLightPass(_gl);
        _areaHaze = new AreaHazePass(_gl);
        _haze = new HazePass(_gl);
        _tiled = new TiledLightPass(_gl);
    }

    /// <summary>Whether light is worked out by tiles in compute, which OpenGL 4.1 has not.</summary>
    public bool IsTiled(RenderSettings settings) => _context.Version >= 43 && settings.March == 0 && (settings.Tiled ?? !_context.IsSoftware);

    /// <summary>What is the same for all views of a moment.</summary>
    public void Prepare(Moment moment, RenderSettings settings)
    {
        _meshes.Hold(moment.Meshes);
        // What asks nothing of OpenGL, side by side.
        Parallel.Invoke(
            () => _stops.Fill(moment, _meshes),
            () => _pixels.Gather(moment),
            () => _areaLight.Gather(moment),
            () => _areaHaze.Gather(moment));
        _geometry.Prepare(moment);
        _pixels.Upload();
        _areaLight.Upload();
        _areaHaze.Upload();
        _lasers.Prepare(moment);
        _mirrors.Fill(moment);
        _mirrorFaces.Prepare(moment);
        _webs.Hold(moment.Webs);
        _gobos.Hold(moment.GoboImages);
        _batch.Fill(moment, _stops, _webs);
        Timer.Begin("shadows");
        _shadows.Draw(moment, _batch, _stops, settings.ShadowSide);
        Timer.End();
        _rows.Fill(_batch.Rows.Span);
        _edges.Fill(_batch.Edges.Span);
    }

    /// <summary>Draws one view's radiance at the eye into the targets of level 0.</summary>
    public Targets Draw(Moment moment, View view, RenderSettings settings)
    {
        Draw(moment, _plans.Make(moment, view, settings), settings, 0);
        _gl.Disable(EnableCap.ScissorTest);
        return _levels[0];
    }

    private void Draw(Moment moment, ViewPlan plan, RenderSettings settings, int level)
    {
        var view = plan.View;
        var targets = Level(level, view.Width, view.Height);
        Enter(moment, view, settings);
        Timer.Within = level > 0 ? "mirrored " : "";
        Timer.Begin("geometry");
        var tiled = IsTiled(settings);
        _geometry.Draw(view, targets, tiled);
        Timer.Begin("pixels");
        _pixels.Draw(view, targets);
        Timer.Begin("lenses");
        _lenses.Draw(_plans.LensesOf(plan, moment), view, targets);
        if (moment.Mirrors.Length > 0)
        {
            DrawMirrors(moment, plan, settings, level, targets);
        }

        var hulls = _plans.HullsOf(plan, moment);
        _rows.Bind(Slots.BeamRows);
        _edges.Bind(Slots.BeamEdges);
        _shadows.Bind();
        _webs.Bind();
        _gobos.Bind();
        var hazy = moment.Haze.ScatteringPerMetre > 0;
        if (tiled)
        {
            Timer.Begin("lists");
            _tiled.Prepare(view, targets, hulls, settings.ScaleOfHaze);
            Timer.Begin("surfaces");
            _tiled.Surfaces(targets);
        }
        else
        {
            _hullBuffer.Fill(hulls);
            Timer.Begin("surfaces");
            _surfaceLight.Draw(targets, _hullBuffer);
        }

        if (!plan.IsSmall)
        {
            Timer.Begin("pixels' light");
            _areaLight.Draw(view, targets, tiled);
        }

        if (hazy)
        {
            Timer.Begin("haze");
            if (tiled)
            {
                _tiled.Haze(view, targets, settings, moment.Haze.Unevenness > 0);
            }
            else
            {
                _haze.Draw(view, targets, _hullBuffer, settings, moment.Haze.Unevenness > 0);
            }

            if (!plan.IsSmall)
            {
                Timer.Begin("pixels' haze");
                _areaHaze.Draw(view, targets, moment.Haze.Unevenness > 0, tiled);
            }
        }

        Timer.Begin("lasers");
        _lasers.Draw(moment, targets);
    }

    /// <summary>Sets what all passes of one view share.</summary>
    private void Enter(Moment moment, View view, RenderSettings settings)
    {
        _gl.Viewport(0, 0, (uint)view.Width, (uint)view.Height);
        _gl.Enable(EnableCap.ScissorTest);
        _gl.Scissor(view.Area.X, view.Area.Y, (uint)view.Area.Width, (uint)view.Area.Height);
        _gl.FrontFace(view.Flipped ? FrontFaceDirection.CW : FrontFaceDirection.Ccw);
        _block.Fill(view, moment, settings.WorkLightLux);
    }

    /// <summary>Each mirror plane's own view first, then its faces among this view's surfaces.</summary>
    private void DrawMirrors(Moment moment, ViewPlan plan, RenderSettings settings, int level, Targets targets)
    {
        if (level >= settings.MirrorDepth)
        {
            Timer.Begin("mirrors");
            _mirrorFaces.DrawDark(plan.View, targets);
            return;
        }

        foreach (var (group, behind) in plan.Mirrors)
        {
            if (behind is not null)
            {
                Draw(moment, behind, settings, level + 1);
                Timer.Within = level > 0 ? "mirrored " : "";
                Enter(moment, plan.View, settings);
            }

            Timer.Begin("mirrors");
            _mirrorFaces.Draw(moment, group, plan.View, targets, behind is null ? null : _levels[level + 1]);
        }
    }

    private Targets Level(int level, int width, int height)
    {
        while (_levels.Count <= level)
        {
            _levels.Add(new Targets(_gl, width, height));
        }

        if (_levels[level].Depth.Width != width || _levels[level].Depth.Height != height)
        {
            _levels[level].Dispose();
            _levels[level] = new Targets(_gl, width, height);
        }

        return _levels[level];
    }

    public void Dispose()
    {
        foreach (var level in _levels)
        {
            level.Dispose();
        }

        _lenses.Dispose();
        _webs.Dispose();
        _gobos.Dispose();
        _mirrorFaces.Dispose();
        _lasers.Dispose();
        _pixels.Dispose();
        Timer.Dispose();
        _areaLight.Dispose();
        _areaHaze.Dispose();
        _haze.Dispose();
        _tiled.Dispose();
        _surfaceLight.Dispose();
        _shadows.Dispose();
        _geometry.Dispose();
        _edges.Dispose();
        _rows.Dispose();
        _hullBuffer.Dispose();
        _block.Dispose();
        _meshes.Dispose();
    }
}
