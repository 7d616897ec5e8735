namespace StageView.Render.Contexts;

/// <summary>A context of Windows, for a window that is never shown: WGL knows no other.</summary>
public sealed class WglContext : GlContext
{
    private readonly nint _window;
    private readonly nint _device;
    private nint _context;

    private WglContext(nint window, nint device, nint context) => (_window, _device, _context) = (window, device, context);

    /// <summary>Opens the context and lets go of it again; <see cref="GlContext.Enter"/> makes it current.</summary>
    /// <exception cref="MachineCannotException">No window, or no OpenGL 4.1.</exception>
    public static WglContext Open()
    {
        var window = Win32Native.CreateWindow("StageView", Win32Native.Popup, 0, 0, 1, 1);
        if (window == 0)
        {
            throw new MachineCannotException("Windows gives no window to draw with: is StageView run by a service, or without a desktop?");
        }

        var device = Win32Native.GetDC(window);
        var context = WglLibrary.Create(device);
        if (context == 0)
        {
            _ = Win32Native.DestroyWindow(window);
            throw new MachineCannotException("there is no OpenGL 4.1 here: install the graphics driver of the graphics card's or laptop's maker "
                + "(what Windows itself brings, and most remote desktops, are too old)");
        }

        return new WglContext(window, device, context);
    }

    protected override void MakeCurrent()
    {
        if (!WglLibrary.MakeCurrent(_device, _context))
        {
            throw LostError("it can't be made current");
        }
    }

    protected override void Release() => WglLibrary.Release();

    protected override nint Address(string function) => WglLibrary.Address(function);

    protected override void Dispose(bool disposing)
    {
        base.Dispose(disposing);
        if (_context != 0)
        {
            WglLibrary.Destroy(_context);
            _ = Win32Native.DestroyWindow(_window);
            _context = 0;
        }
    }
}
