using System.Diagnostics.CodeAnalysis;
using System.Runtime.InteropServices;
using System.Text;

namespace StageView.Render.Contexts;

/// <summary>
/// A window by GLFW: Linux and macOS. It wants one thread for all of it, the thread that opened the first window; on macOS that is the program's first one.
/// </summary>
internal sealed unsafe class GlfwWindow : ScreenWindow
{
    private static GlfwWindow? s_open;
    private readonly nint _window;
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

    public override bool Closing => GlfwNative.WindowShouldClose(_window) == GlfwNative.True;

    public override (int Width, int Height) Pixels
    {
        get
        {
            GlfwNative.GetFramebufferSize(_window, out var w, out var h);
            return (w, h);
        }
    }

    protected override int Filled
    {
        get
        {
            var filled = GlfwNative.GetWindowMonitor(_window);
            var monitors = GlfwNative.GetMonitors(out var count);
            return filled == 0 ? -1 : new ReadOnlySpan<nint>(monitors, count).IndexOf(filled);
        }
    }

    protected override (int X, int Y, int Width, int Height) Bounds
    {
        get
        {
            GlfwNative.GetWindowPos(_window, out var x, out var y);
            GlfwNative.GetWindowSize(_window, out var w, out var h);
            return (x, y, w, h);
        }
    }

    public static new bool TryOpen(string title, int width, int height, bool visible, [NotNullWhen(true)] out ScreenWindow? window, out string why)
    {
        window = null;
        if (s_open is not null)
        {
            why = "one window is open already";
            return false;
        }

        if (!GlfwNative.IsThere)
        {
            why = GlfwNative.Missing;
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

    public override IReadOnlyList<WindowScreen> Screens()
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

    public override void Poll() => GlfwNative.PollEvents();

    public override void Swap() => GlfwNative.SwapBuffers(_window);

    public override void Resize(int width, int height) => GlfwNative.SetWindowSize(_window, width, height);

    public override void Title(string title)
    {
        fixed (byte* words = Encoding.UTF8.GetBytes(title + "\0"))
        {
            GlfwNative.SetWindowTitle(_window, words);
        }
    }

    protected override void PutAt(int x, int y, int width, int height) =>
        GlfwNative.SetWindowMonitor(_window, 0, x, y, width, height, GlfwNative.DoNotCare);

    protected override void Fill(WindowScreen screen)
    {
        var monitors = GlfwNative.GetMonitors(out var count);
        if (screen.Index < count)
        {
            GlfwNative.SetWindowMonitor(_window, monitors[screen.Index], 0, 0, screen.Width, screen.Height, screen.RefreshRate);
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

    [UnmanagedCallersOnly]
    private static void OnKey(nint window, int key, int scancode, int action, int modifiers)
    {
        if (action is GlfwNative.Press or GlfwNative.Repeat)
        {
            s_open?.Tell(new WindowInput(WindowInputKind.Key, key, modifiers, 0, 0));
        }
    }

    [UnmanagedCallersOnly]
    private static void OnCursor(nint window, double x, double y)
    {
        GlfwNative.GetWindowSize(window, out var w, out var h);
        s_open?.Tell(new WindowInput(WindowInputKind.Move, 0, 0, w > 0 ? x / w : 0, h > 0 ? y / h : 0));
    }

    [UnmanagedCallersOnly]
    private static void OnButton(nint window, int button, int action, int modifiers) =>
        s_open?.Tell(new WindowInput(action == GlfwNative.Press ? WindowInputKind.ButtonDown : WindowInputKind.ButtonUp, button, modifiers, 0, 0));

    [UnmanagedCallersOnly]
    private static void OnScroll(nint window, double x, double y) => s_open?.Tell(new WindowInput(WindowInputKind.Scroll, 0, 0, x, y));
}
