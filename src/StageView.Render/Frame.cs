using System.Numerics;
using Silk.NET.OpenGL;
using StageView.Light.Moments;
using StageView.Render.Beams;
using StageView.Render.Contexts;
using StageView.Render.Passes;
using StageView.Render.Plans;
using StageView.Render.Resources;
using StageView.Render.Scenery;
using StageView.Render.Settings;
using StageView.Render.Shadows;
using StageView.Render.Stops;
using StageView.Render.Views;

namespace StageView.Render;

/// <summary>Owns the passes and runs them in order: surfaces, light on surfaces, light in the haze, screen.</summary>
internal sealed class Frame : IDisposable
{
    /// <summary>Side of the shadow tiles' atlas, pixels; a draft's is half as wide, like its tiles.</summary>
    private const int ShadowAtlas = 4096;

    private readonly GL _gl;
    private readonly GlContext _context;
    private readonly MeshStore _meshes;
    private readonly ViewBlock _block;
    private readonly BeamStops _stops = new();
    private readonly BeamBatch _batch = new();
    private readonly HullShapes _hulls = new();
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
    private readonly GlossTable _gloss;
    private readonly ShinePass _shine;
    private readonly EdgePass _edgesOf;
    private readonly LensPass _lenses;
    private readonly MirrorPass _mirrorFaces;
    private readonly ShadowPass _fullShadows;
    private readonly ShadowPass _draftShadows;
    private readonly SurfaceLightPass _surfaceLight;
    private readonly AreaLightPass _areaLight;
    private readonly AreaHazePass _areaHaze;
    private readonly HazePass _haze;
    private readonly HazeFillPass _hazeFill;
    private readonly TiledLightPass _tiled;

    // Each has an atlas of its own, so that a picture at rest beside a moving one doesn't cost the tiles of both.
    private ShadowPass _shadows;

    private IFrameWatch? _watch;
    private bool _mirrored;

    public MeshStore Meshes => _meshes;

    /// <summary>Mirror planes of the last picture that stayed black because there were too many.</summary>
    public int BlackMirrors => _plans.Black;

    public int ShadowTilesDrawn => _shadows.Redrawn;

    public Frame(GlContext context)
    {
        (_gl, _context) = (context.Gl, context);
        _meshes = new MeshStore(_gl);
        _block = new ViewBlock(_gl);
        _hullBuffer = new BeamHullBuffer(_gl);
        _rows = new GpuTable(_gl);
        _edges = new GpuTable(_gl);
        _geometry = new GeometryPass(_gl, _meshes);
        _plans = new ViewPlans(_mirrors, _geometry.Scenery, _batch, _stops, _hulls);
        _pixels = new PixelPass(_gl);
        _lasers = new LaserPass(_gl);
        _webs = new WebTable(_gl);
        _gobos = new GoboArray(_gl);
        _gloss = new GlossTable(_gl);
        _shine = new ShinePass(_gl, _gloss);
        _edgesOf = new EdgePass(_gl);
        _lenses = new LensPass(_gl);
        _mirrorFaces = new MirrorPass(_gl);
        _fullShadows = new ShadowPass(_gl, _meshes, ShadowAtlas);
        _draftShadows = new ShadowPass(_gl, _meshes, ShadowAtlas / 2);
        _shadows = _fullShadows;
        _surfaceLight = new SurfaceLightPass(_gl);
        _areaLight = new AreaLightPass(_gl);
        _areaHaze = new AreaHazePass(_gl);
        _haze = new HazePass(_gl);
        _hazeFill = new HazeFillPass(_gl);
        _tiled = new TiledLightPass(_gl, _block);
    }

    /// <summary>Whether light is worked out by tiles in compute, which OpenGL 4.1 has not.</summary>
    public bool IsTiled(RenderSettings settings) => _context.Version >= 43 && settings.OwnHaze is null && (settings.Tiled ?? !_context.IsSoftware);

    private bool IsCoarse(RenderSettings settings) => settings.Coarse && settings.OwnHaze is null && !IsTiled(settings);

    /// <summary>What is the same for all views of a moment.</summary>
    public void Prepare(Moment moment, RenderSettings settings)
    {
        _watch = settings.Watch;
        _watch?.Start(_gl);
        _tiled.Begin();
        _meshes.Hold(moment.Meshes);
        // What asks nothing of OpenGL, side by side.
        Parallel.Invoke(
            () => _stops.Fill(moment, _meshes),
            () => _pixels.Gather(moment),
            () => _areaLight.Gather(moment),
            () => _areaHaze.Gather(moment),
            () => _hazeFill.Gather(moment, settings.Coarse),
            () => _geometry.Prepare(moment, settings.Indirect));
        _watch?.Step("what stops beams, pixels");
        _pixels.Upload();
        _areaLight.Upload();
        _areaHaze.Upload();
        _lasers.Prepare(moment);
        _mirrors.Fill(moment);
        _mirrorFaces.Prepare(moment);
        _webs.Hold(moment.Webs);
        _gobos.Hold(moment.GoboImages);
        _gloss.Prepare(moment);
        _watch?.Step("uploads");
        _batch.Fill(moment, _stops, _webs);
        _hulls.Fill(moment, _batch, _stops);
        _watch?.Step("beams' rows and hulls");
        _watch?.Begin("shadows");
        var draft = settings.Quality == RenderQuality.Draft;
        _shadows = draft ? _draftShadows : _fullShadows;
        _shadows.Draw(moment, _batch, _stops, settings.Coarse ? settings.ShadowSide / 8 : draft ? settings.ShadowSide / 2 : settings.ShadowSide);
        _watch?.End();
        _watch?.Step("shadow tiles");
        _rows.Fill(_batch.Rows);
        _edges.Fill<Vector4>(_batch.Edges.Span);
        // A GPU begins with the shadows while the views are made ready.
        _gl.Flush();
    }

    /// <summary>Draws one view's radiance at the eye into the targets of level 0.</summary>
    public Targets Draw(Moment moment, View view, RenderSettings settings)
    {
        var plan = _plans.Make(moment, view, settings, IsTiled(settings));
        _block.Fill(_plans.All, moment, settings);
        _geometry.Upload(_plans.Filled, _plans.All.Count);
        _watch?.Step("views' hulls");
        Draw(moment, [plan], settings, 0);
        _gl.Disable(EnableCap.ScissorTest);
        _watch?.Step("views' calls");
        return _levels[0];
    }

    /// <summary>The picture of the last view drawn, its edges without stairs.</summary>
    public (GpuTexture Radiance, FrameTarget Target) Smooth(Moment moment)
    {
        var plan = _plans.All[0];
        _mirrored = false;
        Begin("edges");
        return _edgesOf.Draw(plan.View, _levels[0], () => Enter(plan), aside =>
        {
            _geometry.Clear([plan], aside, tiled: false);
            _geometry.Draw(plan, aside);
            _pixels.Draw(plan.View, aside);
            _lenses.Draw(_plans.LensesOf(plan, moment), plan.View, aside);
            if (moment.Mirrors.Length > 0)
            {
                _mirrorFaces.DrawDark(plan.View, aside);
            }
        });
    }

    /// <summary>Draws views that lie side by side, pass by pass.</summary>
    private void Draw(Moment moment, List<ViewPlan> batch, RenderSettings settings, int level)
    {
        var targets = Level(level, batch[0].View.Width, batch[0].View.Height);
        var (tiled, coarse) = (IsTiled(settings), IsCoarse(settings));
        _mirrored = level > 0;
        Begin("geometry");
        _geometry.Clear(batch, targets, tiled);
        foreach (var plan in batch)
        {
            Enter(plan);
            Begin("geometry");
            _geometry.Draw(plan, targets);
            Begin("pixels");
            _pixels.Draw(plan.View, targets);
            Begin("lenses");
            if (plan.HasLenses)
            {
                _lenses.Draw(_plans.LensesOf(plan, moment), plan.View, targets);
            }
        }

        if (_mirrors.All.Count > 0)
        {
            foreach (var plan in batch)
            {
                DrawMirrors(moment, plan, settings, level, targets);
            }
        }

        _rows.Bind(Slots.BeamRows);
        _edges.Bind(Slots.BeamEdges);
        _shadows.Bind();
        _webs.Bind();
        _gobos.Bind();
        _gloss.Bind();
        if (tiled)
        {
            Begin("lists");
            _tiled.Prepare(batch, _plans.HullsOf, targets, settings.ScaleOfHaze);
            Begin("surfaces");
            _tiled.Surfaces(batch, targets, _gloss.IsUsed);
        }
        else
        {
            Begin("surfaces");
            foreach (var plan in batch)
            {
                Enter(plan);
                _hullBuffer.Fill(_plans.HullsOf(plan));
                _surfaceLight.Draw(plan.View, targets, _hullBuffer, coarse, _gloss.IsUsed, plan.IsSmall ? null : () => _areaLight.AddTo(targets));
            }
        }

        foreach (var plan in batch.Where(p => !p.IsSmall && !coarse))
        {
            Begin("pixels' light");
            Enter(plan);
            _areaLight.Draw(plan.View, targets, tiled);
        }

        if (moment.Haze.ScatteringPerMetre > 0)
        {
            Haze(batch, targets, settings, tiled, moment.Haze.Unevenness > 0);
        }

        Begin("lasers");
        foreach (var plan in batch)
        {
            Enter(plan);
            _lasers.Draw(moment, targets);
        }
    }

    private void Begin(string pass)
    {
        DrawingSteps.Part(_gl);
        _watch?.Begin(pass, _mirrored);
    }

    private void Haze(List<ViewPlan> batch, Targets targets, RenderSettings settings, bool tiled, bool uneven)
    {
        Begin("haze");
        if (tiled)
        {
            _tiled.Haze(batch, targets, settings, uneven);
        }
        else if (IsCoarse(settings))
        {
            var plan = batch[0];
            Enter(plan);
            Action? pixels = plan.IsSmall || !_areaHaze.IsAny ? null : () => _areaHaze.AddTo(targets, uneven, HazePass.ScaleOfLamps);
            _haze.DrawCoarse(plan.View, targets, _hullBuffer, settings, uneven, pixels);
            return;
        }
        else
        {
            Enter(batch[0]);
            _haze.Draw(batch[0].View, targets, _hullBuffer, settings, uneven);
        }

        foreach (var plan in batch.Where(p => !p.IsSmall))
        {
            Begin("pixels' haze");
            Enter(plan);
            _areaHaze.Draw(plan.View, targets, uneven, tiled);
            Begin("haze's fill");
            Enter(plan);
            _hazeFill.Draw(plan.View, targets, tiled);
        }
    }

    /// <summary>Sets what all passes of one view share.</summary>
    private void Enter(ViewPlan plan)
    {
        var view = plan.View;
        _gl.Viewport(0, 0, (uint)view.Width, (uint)view.Height);
        _gl.Enable(EnableCap.ScissorTest);
        _gl.Scissor(view.Area.X, view.Area.Y, (uint)view.Area.Width, (uint)view.Area.Height);
        _gl.FrontFace(view.Flipped ? FrontFaceDirection.CW : FrontFaceDirection.Ccw);
        _block.Enter(plan);
    }

    /// <summary>The views behind a view's mirrors first, as many at a time as lie side by side, then the mirrors' faces among this view's surfaces.</summary>
    private void DrawMirrors(Moment moment, ViewPlan plan, RenderSettings settings, int level, Targets targets)
    {
        if (level >= settings.MirrorDepth)
        {
            Begin("mirrors");
            Enter(plan);
            _mirrorFaces.DrawDark(plan.View, targets);
            return;
        }

        // By fragments one at a time: its hulls have one place.
        var behind = plan.Mirrors.Where(m => m.Behind is not null).ToDictionary(m => m.Behind!, m => m.Group);
        var batches = IsTiled(settings) ? ViewPlans.SideBySide(behind.Keys) : behind.Keys.Select(view => new List<ViewPlan> { view });
        foreach (var batch in batches)
        {
            Draw(moment, batch, settings, level + 1);
            _gl.Flush();
            DrawingSteps.View(_gl);
            _mirrored = level > 0;
            Begin("mirrors");
            Enter(plan);
            foreach (var view in batch)
            {
                var (group, drawn) = (behind[view], (view.View, _levels[level + 1]));
                if (group.Shines)
                {
                    _shine.Draw(group, plan.View, targets, drawn, () => Enter(plan));
                    Enter(plan);
                }
                else
                {
                    _mirrorFaces.Draw(moment, group, plan.View, targets, drawn);
                }
            }
        }

        Begin("mirrors");
        Enter(plan);
        foreach (var (group, _) in plan.Mirrors.Where(m => m.Behind is null))
        {
            _mirrorFaces.Draw(moment, group, plan.View, targets, null);
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
        _shine.Dispose();
        _edgesOf.Dispose();
        _gloss.Dispose();
        _mirrorFaces.Dispose();
        _lasers.Dispose();
        _pixels.Dispose();
        _areaLight.Dispose();
        _areaHaze.Dispose();
        _haze.Dispose();
        _hazeFill.Dispose();
        _tiled.Dispose();
        _surfaceLight.Dispose();
        _fullShadows.Dispose();
        _draftShadows.Dispose();
        _geometry.Dispose();
        _edges.Dispose();
        _rows.Dispose();
        _hullBuffer.Dispose();
        _block.Dispose();
        _meshes.Dispose();
    }
}
