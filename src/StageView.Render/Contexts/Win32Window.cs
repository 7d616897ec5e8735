using System.Diagnostics.CodeAnalysis;

namespace StageView.Render.Contexts;

/// <summary>A window of Windows with an OpenGL 4.1 core context. All of it on the thread that opened it; one at a time.</summary>
internal sealed unsafe class Win32Window : ScreenWindow
{
    private const int Shift = 0x10, Control = 0x11, Menu = 0x12, Notch = 120;

    /// <summary>Keys that a window is steered by: virtual keys of Windows to those of <see cref="WindowInput"/>; digits and letters are the same.</summary>
    private static readonly Dictionary<int, int> s_keys = new()
    {
        [0x1B] = 256, [0x25] = 263, [0x26] = 265, [0x27] = 262, [0x28] = 264, [0x7A] = 300, [0x7B] = 301, [0x6B] = 334, [0x6D] = 333, [0xBB] = '=',
        [0xBD] = '-', [0xBC] = ',', [0xBE] = '.',
    };

    private static bool s_open;
    private readonly nint _window;
    private readonly nint _device;
    private readonly nint _context;
    private WindowScreen? _filled;
    private bool _closing;
    private bool _disposed;

    private Win32Window(nint window, nint device, nint context)
    {
        (_window, _device, _context) = (window, device, context);
        s_open = true;
        Win32Native.Heard = OnMessage;
    }

    public override bool Closing => _closing;

    public override (int Width, int Height) Pixels => Win32Native.GetClientRect(_window, out var r) != 0 ? (r.Right, r.Bottom) : (0, 0);

    protected override int Filled => _filled is { } f ? f.Index : -1;

    protected override (int X, int Y, int Width, int Height) Bounds
    {
        get
        {
            var at = stackalloc int[2];
            _ = Win32Native.ClientToScreen(_window, at);
            var (w, h) = Pixels;
            return (at[0], at[1], w, h);
        }
    }

    public static new bool TryOpen(string title, int width, int height, bool visible, [NotNullWhen(true)] out ScreenWindow? window, out string why)
    {
        window = null;
        if (s_open)
        {
            why = "one window is open already";
            return false;
        }

        var frame = Win32Native.Framed(0, 0, Math.Max(Least, width), Math.Max(Least, height));
        var handle = Win32Native.CreateWindow(title, Win32Native.Overlapped, int.MinValue, 0, frame.Right - frame.Left, frame.Bottom - frame.Top);
        if (handle == 0)
        {
            why = "Windows gives no window";
            return false;
        }

        var device = Win32Native.GetDC(handle);
        var context = WglLibrary.Create(device);
        if (context == 0)
        {
            _ = Win32Native.DestroyWindow(handle);
            why = "a window with OpenGL 4.1 can't be opened: the graphics driver gives none";
            return false;
        }

        if (WglLibrary.MakeCurrent(device, context))
        {
            WglLibrary.WaitForRefresh();
            WglLibrary.Release();
        }

        if (visible)
        {
            _ = Win32Native.ShowWindow(handle, Win32Native.ShowNormal);
        }

        window = new Win32Window(handle, device, context);
        why = "";
        return true;
    }

    public override IReadOnlyList<WindowScreen> Screens() => Win32Native.Screens();

    public override void Poll()
    {
        while (Win32Native.PeekMessageW(out var message, 0, 0, 0, 1) != 0)
        {
            _ = Win32Native.DispatchMessageW(message);
        }
    }

    public override void Swap() => WglLibrary.Swap(_device);

    public override void Resize(int width, int height)
    {
        var frame = Win32Native.Framed(0, 0, width, height);
        _ = Win32Native.SetWindowPos(_window, 0, 0, 0, frame.Right - frame.Left, frame.Bottom - frame.Top, Win32Native.NoZOrder | Win32Native.NoMove);
    }

    public override void Title(string title) => _ = Win32Native.SetWindowTextW(_window, title);

    protected override void PutAt(int x, int y, int width, int height)
    {
        _filled = null;
        var frame = Win32Native.Framed(x, y, width, height);
        Put(Win32Native.Overlapped, frame.Left, frame.Top, frame.Right - frame.Left, frame.Bottom - frame.Top);
    }

    protected override void Fill(WindowScreen screen)
    {
        _filled = screen;
        Put(Win32Native.Popup, screen.X, screen.Y, screen.Width, screen.Height);
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
        if (_disposed)
        {
            return;
        }

        _disposed = true;
        s_open = false;
        Win32Native.Heard = null;
        WglLibrary.Destroy(_context);
        _ = Win32Native.DestroyWindow(_window);
    }

    private void Put(uint style, int x, int y, int width, int height)
    {
        Win32Native.SetWindowLongPtrW(_window, Win32Native.StyleIndex, (nint)(style | Win32Native.ClipAll | Win32Native.Visible));
        _ = Win32Native.SetWindowPos(_window, 0, x, y, width, height, Win32Native.NoZOrder | Win32Native.FrameChanged);
    }

    private nint? OnMessage(nint window, uint message, nuint word, nint along)
    {
        if (window != _window)
        {
            return null;
        }

        var (x, y) = ((short)(along & 0xFFFF), (short)((along >> 16) & 0xFFFF));
        switch (message)
        {
            case Win32Native.Close:
                _closing = true;
                return 0;
            case Win32Native.EraseBackground:
                return 1;
            case Win32Native.KeyDown or Win32Native.SysKeyDown when Key((int)word) is { } key:
                Tell(new WindowInput(WindowInputKind.Key, key, Modifiers(), 0, 0));
                return 0;
            case Win32Native.MouseMove:
                var (w, h) = Pixels;
                Tell(new WindowInput(WindowInputKind.Move, 0, 0, w > 0 ? (double)x / w : 0, h > 0 ? (double)y / h : 0));
                return 0;
            case Win32Native.LeftDown or Win32Native.RightDown or Win32Native.MiddleDown:
                Win32Native.SetCapture(window);
                Tell(new WindowInput(WindowInputKind.ButtonDown, Button(message), Modifiers(), 0, 0));
                return 0;
            case Win32Native.LeftUp or Win32Native.RightUp or Win32Native.MiddleUp:
                _ = Win32Native.ReleaseCapture();
                Tell(new WindowInput(WindowInputKind.ButtonUp, Button(message), Modifiers(), 0, 0));
                return 0;
            case Win32Native.Wheel:
                Tell(new WindowInput(WindowInputKind.Scroll, 0, 0, 0, (double)(short)(word >> 16) / Notch));
                return 0;
            default:
                return null;
        }
    }

    /// <summary>0 left, 1 right, 2 middle.</summary>
    private static int Button(uint message) => ((int)message - (int)Win32Native.LeftDown) / 3;

    private static int? Key(int key) => s_keys.TryGetValue(key, out var known) ? known : key is (>= '0' and <= '9') or (>= 'A' and <= 'Z') ? key : null;

    private static int Modifiers() => (Held(Shift) ? 1 : 0) | (Held(Control) ? 2 : 0) | (Held(Menu) ? 4 : 0);

    private static bool Held(int key) => Win32Native.GetKeyState(key) < 0;
}
