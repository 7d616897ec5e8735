using System.Diagnostics.CodeAnalysis;
using System.Runtime.InteropServices;
using System.Text;

namespace StageView.Render.Contexts;

/// <summary>
/// A window with an OpenGL 4.1 core context. GLFW wants one thread for all of it: the thread that opened the first
/// window. One window at a time.
/// </summary>
public sealed unsafe class GlfwWindow : GlContext
{
    private const int Least = 64;
    private static GlfwWindow? s_open;
    private readonly nint _window;
    private (int X, int Y, int Width, int Height)? _before;
    private bool _disposed;

    private GlfwWindow(nint window)
    {
        _window = window;
        s_open = this;
        GlfwNative.SetKeyCallback(window, &OnKey);
        GlfwNative.SetCursorPosCallback(window, &OnCursor);
        GlfwNative.SetMouseButtonCallback(window, &OnButton);
        GlfwNative.SetScrollCallback(window, &OnScroll);
    }

    /// <summary>What happened since the last <see cref="Poll"/>, in order; the handler runs inside it.</summary>
    public event Action<WindowInput>? Input;

    public bool Closing => GlfwNative.WindowShouldClose(_window) == GlfwNative.True;

    /// <summary>Size of the picture, pixels; 0 while minimised.</summary>
    public (int Width, int Height) Pixels
    {
        get
        {
            GlfwNative.GetFramebufferSize(_window, out var w, out var h);
            return (w, h);
        }
    }

    /// <summary>Whether it fills a screen; one that was unplugged is filled no more.</summary>
    public bool FullScreen => GlfwNative.GetWindowMonitor(_window) != 0;

    /// <summary>Where it stands. Given another place it goes there, as far as the desktop lets it; a screen that is gone is not filled.</summary>
    public WindowPlace Place
    {
        get
        {
            var (x, y, w, h) = FullScreen && _before is { } before ? before : Bounds();
            return new WindowPlace(x, y, w, h, FullScreen ? ScreenUnder() : -1);
        }
        set
        {
            var (w, h) = (Math.Max(Least, value.Width), Math.Max(Least, value.Height));
            if (value.Screen >= 0 && value.Screen < Screens().Count)
            {
                // Where it goes back to is known; moving there first would be done by the desktop when it likes.
                FillScreen(value.Screen, (value.X, value.Y, w, h));
                return;
            }

            Resize(w, h);
            if (Screens().Any(s => Share(s, value.X, value.Y, w, h) >= Least * Least))
            {
                GlfwNative.SetWindowMonitor(_window, 0, value.X, value.Y, w, h, GlfwNative.DoNotCare);
            }
        }
    }

    /// <summary>Opens a window, or says in one line why there can be none.</summary>
    /// <param name="width">Screen coordinates, at least 64.</param>
    public static bool TryOpen(string title, int width, int height, bool visible, [NotNullWhen(true)] out GlfwWindow? window, out string why)
    {
        window = null;
        if (s_open is not null)
        {
            why = "one window is open already";
            return false;
        }

        if (!NativeLibrary.TryLoad(GlfwNative.Library, out _))
        {
            why = $"{GlfwNative.Library} is missing (on Debian: apt-get install libglfw3)";
            return false;
        }

        if (GlfwNative.Init() != GlfwNative.True)
        {
            why = "no display can be reached: " + (GlfwNative.LastError() ?? "GLFW gave no reason");
            return false;
        }

        nint handle = 0;
        foreach (var (minor, tells) in new[] { (3, true), (3, false), (1, true), (1, false) })
        {
            // 4.3 for compute where it is given: some drivers give just what is asked for. And one that tells of its loss.
            GlfwNative.WindowHint(GlfwNative.ContextVersionMajor, 4);
            GlfwNative.WindowHint(GlfwNative.ContextVersionMinor, minor);
            GlfwNative.WindowHint(GlfwNative.OpenGlProfile, GlfwNative.OpenGlCoreProfile);
            GlfwNative.WindowHint(GlfwNative.OpenGlForwardCompatible, 1);
            GlfwNative.WindowHint(GlfwNative.ContextRobustness, tells ? GlfwNative.LoseContextOnReset : 0);
            GlfwNative.WindowHint(GlfwNative.Visible, visible ? 1 : 0);
            fixed (byte* words = Encoding.UTF8.GetBytes(title + "\0"))
            {
                handle = GlfwNative.CreateWindow(Math.Max(Least, width), Math.Max(Least, height), words, 0, 0);
            }

            if (handle != 0)
            {
                break;
            }
        }

        if (handle == 0)
        {
            why = "a window with OpenGL 4.1 can't be opened: " + (GlfwNative.LastError() ?? "GLFW gave no reason");
            GlfwNative.Terminate();
            return false;
        }

        GlfwNative.MakeContextCurrent(handle);
        GlfwNative.SwapInterval(1);
        GlfwNative.MakeContextCurrent(0);
        window = new GlfwWindow(handle);
        why = "";
        return true;
    }

    /// <summary>Screens, in the order of the desktop.</summary>
    public static IReadOnlyList<WindowScreen> Screens()
    {
        var all = GlfwNative.GetMonitors(out var count);
        var screens = new List<WindowScreen>(count);
        for (var i = 0; i < count; i++)
        {
            GlfwNative.GetMonitorPos(all[i], out var x, out var y);
            var mode = GlfwNative.GetVideoMode(all[i]);
            if (mode is not null)
            {
                screens.Add(new WindowScreen(i, Marshal.PtrToStringUTF8((nint)GlfwNative.GetMonitorName(all[i])) ?? "", x, y, mode->Width, mode->Height,
                    mode->RefreshRate));
            }
        }

        return screens;
    }

    /// <summary>Takes what the user did since the last call.</summary>
    public static void Poll() => GlfwNative.PollEvents();

    /// <summary>Shows what was drawn into framebuffer 0; waits for the screen's next refresh.</summary>
    public void Swap() => GlfwNative.SwapBuffers(_window);

    public void Resize(int width, int height) => GlfwNative.SetWindowSize(_window, width, height);

    public void Title(string title)
    {
        fixed (byte* words = Encoding.UTF8.GetBytes(title + "\0"))
        {
            GlfwNative.SetWindowTitle(_window, words);
        }
    }

    /// <summary>Fills a screen, or goes back to a window where it was.</summary>
    /// <param name="screen">Place in <see cref="Screens"/>, or -1 for the one that holds most of the window.</param>
    public void ToggleFullScreen(int screen = -1)
    {
        if (FullScreen && _before is { } b)
        {
            GlfwNative.SetWindowMonitor(_window, 0, b.X, b.Y, b.Width, b.Height, GlfwNative.DoNotCare);
            return;
        }

        FillScreen(screen >= 0 ? screen : ScreenUnder());
    }

    /// <summary>Fills the next screen of the desktop; a window that fills none fills the one after its own.</summary>
    public void NextScreen()
    {
        var count = Screens().Count;
        if (count > 0)
        {
            FillScreen((ScreenUnder() + 1) % count);
        }
    }

    protected override void Dispose(bool disposing)
    {
        base.Dispose(disposing);
        if (_disposed)
        {
            return;
        }

        _disposed = true;
        s_open = null;
        GlfwNative.DestroyWindow(_window);
        GlfwNative.Terminate();
    }

    protected override void MakeCurrent()
    {
        GlfwNative.MakeContextCurrent(_window);
        if (GlfwNative.GetCurrentContext() != _window)
        {
            throw LostError("it can't be made current: " + (GlfwNative.LastError() ?? "GLFW gave no reason"));
        }
    }

    protected override void Release() => GlfwNative.MakeContextCurrent(0);

    protected override nint Address(string function) => GlfwNative.GetProcAddress(function);

    private void FillScreen(int index, (int X, int Y, int Width, int Height)? before = null)
    {
        var monitors = GlfwNative.GetMonitors(out var count);
        if (index < 0 || index >= count || GlfwNative.GetVideoMode(monitors[index]) is var mode && mode is null)
        {
            return;
        }

        _before = before ?? (FullScreen ? _before : Bounds());
        GlfwNative.SetWindowMonitor(_window, monitors[index], 0, 0, mode->Width, mode->Height, mode->RefreshRate);
    }

    private (int X, int Y, int Width, int Height) Bounds()
    {
        GlfwNative.GetWindowPos(_window, out var x, out var y);
        GlfwNative.GetWindowSize(_window, out var w, out var h);
        return (x, y, w, h);
    }

    private int ScreenUnder()
    {
        var monitors = GlfwNative.GetMonitors(out var count);
        var filled = GlfwNative.GetWindowMonitor(_window);
        for (var i = 0; i < count; i++)
        {
            if (monitors[i] == filled)
            {
                return i;
            }
        }

        var (x, y, w, h) = Bounds();
        return Screens().OrderByDescending(s => Share(s, x, y, w, h)).Select(s => s.Index).FirstOrDefault();
    }

    /// <summary>How much of a window lies on a screen, screen coordinates squared.</summary>
    private static long Share(WindowScreen s, long x, long y, long w, long h) =>
        Math.Max(0, Math.Min(x + w, s.X + s.Width) - Math.Max(x, s.X)) * Math.Max(0, Math.Min(y + h, s.Y + s.Height) - Math.Max(y, s.Y));

    private static void Tell(WindowInput input) => s_open?.Input?.Invoke(input);

    [UnmanagedCallersOnly]
    private static void OnKey(nint window, int key, int scancode, int action, int modifiers)
    {
        if (action is GlfwNative.Press or GlfwNative.Repeat)
        {
            Tell(new WindowInput(WindowInputKind.Key, key, modifiers, 0, 0));
        }
    }

    [UnmanagedCallersOnly]
    private static void OnCursor(nint window, double x, double y)
    {
        GlfwNative.GetWindowSize(window, out var w, out var h);
        Tell(new WindowInput(WindowInputKind.Move, 0, 0, w > 0 ? x / w : 0, h > 0 ? y / h : 0));
    }

    [UnmanagedCallersOnly]
    private static void OnButton(nint window, int button, int action, int modifiers) =>
        Tell(new WindowInput(action == GlfwNative.Press ? WindowInputKind.ButtonDown : WindowInputKind.ButtonUp, button, modifiers, 0, 0));

    [UnmanagedCallersOnly]
    private static void OnScroll(nint window, double x, double y) => Tell(new WindowInput(WindowInputKind.Scroll, 0, 0, x, y));
}
