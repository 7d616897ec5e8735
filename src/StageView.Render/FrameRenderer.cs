using Silk.NET.OpenGL;
using StageView.Ground.Words;
using StageView.Light.Moments;
using StageView.Light.Sampling;
using StageView.Render.Aids;
using StageView.Render.Contexts;
using StageView.Render.Lens;
using StageView.Render.Output;
using StageView.Render.Passes;
using StageView.Render.Resources;
using StageView.Render.Scenery;
using StageView.Render.Settings;
using StageView.Render.Views;

namespace StageView.Render;

/// <summary>Makes pictures of moments on one context. The same moment, camera and settings give the same bytes on one machine. One caller at a time.</summary>
public sealed partial class FrameRenderer : IDisposable
{
    private readonly GlContext _context;
    private readonly Lock _one = new();
    private readonly Frame _frame;
    private readonly CompositePass _composite;
    private readonly LensSamples _lens;
    private readonly BloomPass _bloom;
    private (GpuTexture Radiance, FrameTarget Target) _scene;
    private GpuTexture? _screen;
    private FrameTarget? _screenBuffer;
    private float[] _linear = [];
    private readonly SortedSet<string> _leftOut = new(StringComparer.Ordinal);
    private readonly SortedSet<string> _now = new(StringComparer.Ordinal);

    /// <param name="context">Stays the caller's: dispose it after the renderer.</param>
    /// <exception cref="MachineCannotException">The context is too old.</exception>
    public FrameRenderer(GlContext context)
    {
        ArgumentNullException.ThrowIfNull(context);
        _context = context;
        context.Enter();
        try
        {
            _frame = new Frame(context);
            _composite = new CompositePass(context.Gl);
            _lens = new LensSamples(context.Gl);
            _bloom = new BloomPass(context.Gl);
        }
        catch (Exception e) when (e is not ContextLostException)
        {
            context.ThrowIfLost(e);
            throw;
        }
        finally
        {
            context.Leave();
        }
    }

    public GlContext Context => _context;

    /// <summary>What bounds left out of any picture so far, each text once.</summary>
    public IReadOnlyCollection<string> LeftOut => _leftOut;

    /// <summary>Is told, by the thread that draws, of each step of a picture: a pass that begins, a program that was compiled. It must be quick.</summary>
    public Action? Progress { get; set; }

    /// <summary>Shadow tiles drawn anew in the last frame; the others were kept.</summary>
    internal int ShadowTilesDrawn => _frame.ShadowTilesDrawn;

    /// <summary>The meshes of the moment drawn last.</summary>
    internal MeshStore Meshes => _frame.Meshes;

    /// <summary>Draws the moment as the camera sees it.</summary>
    /// <exception cref="ArgumentOutOfRangeException">A size outside 16 to 8192.</exception>
    /// <exception cref="MachineCannotException">The driver refuses a shader or a texture.</exception>
    /// <exception cref="ContextLostException">The context was lost before the picture was done.</exception>
    /// <exception cref="PictureOvertakenException">It was given up.</exception>
    public RenderedFrame Render(Moment moment, Camera camera, RenderSettings settings)
    {
        ArgumentNullException.ThrowIfNull(moment);
        return Locked(camera, settings, () => Scene(moment, camera, settings));
    }

    /// <summary>Draws the mean of samples.</summary>
    /// <param name="moments">What each sample sees; asked for one after the other.</param>
    /// <param name="samples">1 to <see cref="FrameSample.Most"/>; the cost is a picture a sample.</param>
    /// <param name="camera">The camera.</param>
    /// <param name="settings">As for one picture.</param>
    /// <exception cref="ArgumentOutOfRangeException">A size outside 16 to 8192, or a number of samples out of range.</exception>
    /// <exception cref="MachineCannotException">The driver refuses a shader or a texture.</exception>
    /// <exception cref="ContextLostException">The context was lost before the picture was done.</exception>
    public RenderedFrame Render(Func<FrameSample, Moment> moments, int samples, Camera camera, RenderSettings settings)
    {
        ArgumentNullException.ThrowIfNull(moments);
        var all = FrameSample.Of(samples);
        return Locked(camera, settings, () => Mean(moments, all, camera, settings));
    }

    private RenderedFrame Locked(Camera camera, RenderSettings settings, Func<(GpuTexture Radiance, FrameTarget Target)> draw)
    {
        ArgumentNullException.ThrowIfNull(camera);
        ArgumentNullException.ThrowIfNull(settings);
        Check(settings.Width);
        Check(settings.Height);
        lock (_one)
        {
            _context.Enter();
            try
            {
                return Make(camera, settings, draw);
            }
            catch (Exception e) when (e is not (ContextLostException or PictureOvertakenException))
            {
                _context.ThrowIfLost(e);
                throw;
            }
            finally
            {
                _context.Leave();
            }
        }
    }

    /// <summary>Throws when the context was lost since the last picture.</summary>
    /// <exception cref="ContextLostException">It was.</exception>
    public void ThrowIfLost()
    {
        lock (_one)
        {
            _context.Enter();
            try
            {
                _context.ThrowIfLost();
            }
            finally
            {
                _context.Leave();
            }
        }
    }

    public void Dispose()
    {
        try
        {
            ThrowIfLost();
        }
        catch (ContextLostException)
        {
            // What was made on it went with it.
            return;
        }

        _context.Enter();
        _composite.Dispose();
        _lens.Dispose();
        _bloom.Dispose();
        _frame.Dispose();
        _screenBuffer?.Dispose();
        _screen?.Dispose();
        _context.Leave();
    }

    private static void Check(int pixels)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(pixels, 16);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(pixels, 8192);
    }

    private RenderedFrame Make(Camera camera, RenderSettings settings, Func<(GpuTexture Radiance, FrameTarget Target)> draw)
    {
        DrawingSteps.Tell(Progress, _context.IsSoftware ? settings.Overtaken : null, _context.IsSoftware);
        var gl = _context.Gl;
        Size(gl, settings.Width, settings.Height);
        _now.Clear();
        _scene = draw();
        _leftOut.UnionWith(_now);
        settings.Watch?.End();
        var linear = settings.Linear ? ReadLinear(gl) : null;
        PixelImage? screen = null;
        if (settings.Screen)
        {
            settings.Watch?.Begin("screen");
            _composite.Draw(ThroughLens(camera), _screenBuffer!, ToneCurve.Of(camera),
                _frame.IsTiled(settings) ? _screen : null);
            settings.Watch?.End();
            screen = settings.Unread ? null : ReadScreen(gl, settings.Into);
            if (_now.Count > 0 && screen is not null)
            {
                AidPainter.Remark(screen, _now);
            }
        }

        if (settings.Unread)
        {
            gl.Finish();
        }

        _context.ThrowIfLost();
        var error = gl.GetError();
        return error == GLEnum.NoError
            ? new RenderedFrame(screen, linear, camera.Ev100) { LeftOut = [.. _now] }
            : throw new MachineCannotException($"OpenGL says {error} after a frame on \"{_context.Renderer}\": too little graphics memory, or a driver fault");
    }

    private (GpuTexture Radiance, FrameTarget Target) Mean(
        Func<FrameSample, Moment> moments, IReadOnlyList<FrameSample> samples, Camera camera, RenderSettings settings)
    {
        _lens.Begin(settings.Width, settings.Height);
        foreach (var sample in samples)
        {
            var moment = moments(sample);
            _frame.Prepare(moment, settings);
            _lens.Add(Draw(moment, LensSamples.ViewOf(camera, settings.Width, settings.Height, sample), settings).Radiance, samples.Count);

            // A GPU that some dozen samples wait for draws them with buffers of later ones: seen on one, by tiles alone. Waiting costs it nothing to speak of.
            _context.Gl.Finish();
        }

        return _lens.Mean;
    }

    /// <summary>The radiance at the eye, or its mean over the lens.</summary>
    private (GpuTexture Radiance, FrameTarget Target) Scene(Moment moment, Camera camera, RenderSettings settings)
    {
        _frame.Prepare(moment, settings);
        if (camera.LensDiameter <= 0)
        {
            var smooth = camera.SmoothEdges && !settings.Coarse;
            var targets = Draw(moment, View.Of(camera, settings.Width, settings.Height), smooth ? settings with { SmoothEdges = true } : settings);
            return smooth ? _frame.Smooth(moment) : (targets.Radiance, targets.Light);
        }

        _lens.Begin(settings.Width, settings.Height);
        foreach (var view in LensSamples.Views(camera, settings.Width, settings.Height))
        {
            _lens.Add(Draw(moment, view, settings).Radiance, LensSamples.Count);
        }

        return _lens.Mean;
    }

    /// <summary>One view, and what bounds left out of it.</summary>
    private Targets Draw(Moment moment, View view, RenderSettings settings)
    {
        var targets = _frame.Draw(moment, view, settings);
        if (moment.LeftOut is { } light)
        {
            _now.Add(light);
        }

        if (_frame.BlackMirrors > 0)
        {
            _now.Add($"{Counted.Of(_frame.BlackMirrors, "mirror plane")} left black: {settings.MirrorViews} at most are looked into");
        }

        return targets;
    }

    private GpuTexture ThroughLens(Camera camera) =>
        camera.Bloom > 0 ? _bloom.Draw(_scene.Radiance, camera.Bloom, View.Of(camera, _screen!.Width, _screen.Height).PixelAngle) : _scene.Radiance;

    private void Size(GL gl, int width, int height)
    {
        if (_screen is not null && _screen.Width == width && _screen.Height == height)
        {
            return;
        }

        _screenBuffer?.Dispose();
        _screen?.Dispose();
        _screen = new GpuTexture(gl, InternalFormat.Rgba8, width, height);
        _screenBuffer = new FrameTarget(gl, null, _screen);
    }

    // OpenGL's rows run from the bottom, a picture's from the top.
    private unsafe LinearImage ReadLinear(GL gl)
    {
        var (width, height) = (_screen!.Width, _screen.Height);
        var rgba = _linear = _linear.Length == width * height * 4 ? _linear : new float[width * height * 4];
        _scene.Target.Bind();
        fixed (float* p = rgba)
        {
            gl.ReadPixels(0, 0, (uint)width, (uint)height, PixelFormat.Rgba, PixelType.Float, p);
        }

        var rgb = new float[width * height * 3];
        for (var y = 0; y < height; y++)
        {
            var from = rgba.AsSpan((height - 1 - y) * width * 4, width * 4);
            var to = rgb.AsSpan(y * width * 3, width * 3);
            for (var x = 0; x < width; x++)
            {
                from.Slice(x * 4, 3).CopyTo(to[(x * 3)..]);
            }
        }

        return new LinearImage(width, height, rgb);
    }

    private unsafe PixelImage ReadScreen(GL gl, PixelImage? into)
    {
        var (width, height) = (_screen!.Width, _screen.Height);
        var image = into is { } i && i.Width == width && i.Height == height ? i : new PixelImage(width, height, new byte[width * height * 4]);
        var bytes = image.Rgba;
        _screenBuffer!.Bind();
        gl.PixelStore(PixelStoreParameter.PackAlignment, 4);
        fixed (byte* p = bytes)
        {
            gl.ReadPixels(0, 0, (uint)width, (uint)height, PixelFormat.Rgba, PixelType.UnsignedByte, p);
        }

        var row = new byte[width * 4];
        for (var y = 0; y < height / 2; y++)
        {
            var top = bytes.AsSpan(y * width * 4, width * 4);
            var bottom = bytes.AsSpan((height - 1 - y) * width * 4, width * 4);
            top.CopyTo(row);
            bottom.CopyTo(top);
            row.CopyTo(bottom);
        }

        return image;
    }
}
