namespace StageView.Render.Contexts;

/// <summary>A context without a window: the first device that gives one (real GPUs come first), else Mesa's surfaceless platform.</summary>
public sealed class EglContext : GlContext
{
    private readonly EglLibrary _egl;
    private nint _display;
    private nint _context;

    private EglContext(EglLibrary egl, nint display, nint context) => (_egl, _display, _context) = (egl, display, context);

    /// <summary>Opens the context and lets go of it again; <see cref="GlContext.Enter"/> makes it current.</summary>
    /// <exception cref="MachineCannotException">No EGL, no device, or no OpenGL 4.1.</exception>
    public static EglContext Open()
    {
        var egl = EglLibrary.Load();
        foreach (var device in egl.Devices())
        {
            if (TryOpen(egl, egl.Display(EglLibrary.PlatformDevice, device)) is { } found)
            {
                return found;
            }
        }

        var display = egl.ClientExtensions.Contains("EGL_MESA_platform_surfaceless", StringComparison.Ordinal)
            ? egl.Display(EglLibrary.PlatformSurfaceless, 0)
            : 0;
        return TryOpen(egl, display) ?? throw new MachineCannotException(
            "no OpenGL 4.1 core context without a window can be had here (neither from a graphics device nor from Mesa's software rasteriser). Install it: "
            + "apt-get install libegl-mesa0 libgl1-mesa-dri");
    }

    private static EglContext? TryOpen(EglLibrary egl, nint display)
    {
        if (display == 0)
        {
            return null;
        }

        // 4.3 for compute where it is given; 4.1 is all that is needed.
        foreach (var (major, minor) in new[] { (4, 3), (4, 1) })
        {
            var context = egl.CreateContext(display, major, minor);
            if (context != 0)
            {
                return new EglContext(egl, display, context);
            }
        }

        return null;
    }

    protected override void MakeCurrent()
    {
        if (!_egl.MakeCurrent(_display, _context))
        {
            // Asked once: asking clears it.
            var error = _egl.Error;
            throw error == EglLibrary.ContextLost
                ? LostError("the machine or its graphics processor was without power")
                : new MachineCannotException($"the OpenGL context can't be made current (EGL error 0x{error:X})");
        }
    }

    protected override void Release() => _egl.MakeCurrent(_display, 0);

    protected override nint Address(string function) => _egl.Address(function);

    protected override void Dispose(bool disposing)
    {
        base.Dispose(disposing);
        if (_context != 0)
        {
            _egl.Destroy(_display, _context);
            (_context, _display) = (0, 0);
        }
    }
}
