using System.Diagnostics.CodeAnalysis;
using StageView.Ground.Systems;

namespace StageView.Render.Contexts;

/// <summary>A window with an OpenGL 4.1 core context. All of it is used by the thread that opened it; one window at a time.</summary>
public abstract class ScreenWindow : GlContext
{
    /// <summary>The smallest width and height, screen coordinates.</summary>
    protected const int Least = 64;
    private (int X, int Y, int Width, int Height)? _before;

    private delegate bool Opener(string title, int width, int height, bool visible, [NotNullWhen(true)] out ScreenWindow? window, out string why);

    /// <summary>What happened since the last <see cref="Poll"/>, in order; the handler runs inside it. Keys and modifiers are numbered as in GLFW 3.</summary>
    public event Action<WindowInput>? Input;

    /// <summary>Whether a window is worth trying: a display is named, or the system always has one.</summary>
    public static bool HasDisplay => ThisSystem.Choose(() => Named("DISPLAY") || Named("WAYLAND_DISPLAY"), () => true, () => true);

    public abstract bool Closing { get; }

    /// <summary>Size of the picture, pixels; 0 while minimised.</summary>
    public abstract (int Width, int Height) Pixels { get; }

    /// <summary>Whether it fills a screen; one that was unplugged is filled no more.</summary>
    public bool FullScreen => Filled >= 0;

    /// <summary>Where it stands. Given another place it goes there, as far as the desktop lets it; a screen that is gone is not filled.</summary>
    public WindowPlace Place
    {
        get
        {
            var (x, y, w, h) = FullScreen && _before is { } before ? before : Bounds;
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
                PutAt(value.X, value.Y, w, h);
            }
        }
    }

    /// <summary>Opens a window, or says in one line why there can be none.</summary>
    /// <param name="width">Screen coordinates, at least 64.</param>
    public static bool TryOpen(string title, int width, int height, bool visible, [NotNullWhen(true)] out ScreenWindow? window, out string why) =>
        ThisSystem.Choose<Opener>(() => GlfwWindow.TryOpen, () => Win32Window.TryOpen, () => GlfwWindow.TryOpen)(title, width, height, visible, out window,
            out why);

    /// <summary>Screens, in the order of the desktop.</summary>
    public abstract IReadOnlyList<WindowScreen> Screens();

    /// <summary>Takes what the user did since the last call.</summary>
    public abstract void Poll();

    /// <summary>Shows what was drawn into framebuffer 0; waits for the screen's next refresh.</summary>
    public abstract void Swap();

    public abstract void Resize(int width, int height);

    public abstract void Title(string title);

    /// <summary>Fills a screen, or goes back to a window where it was.</summary>
    /// <param name="screen">Place in <see cref="Screens"/>, or -1 for the one that holds most of the window.</param>
    public void ToggleFullScreen(int screen = -1)
    {
        if (FullScreen && _before is { } b)
        {
            PutAt(b.X, b.Y, b.Width, b.Height);
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

    /// <summary>Place in <see cref="Screens"/> of the screen that it fills, or -1.</summary>
    protected abstract int Filled { get; }

    /// <summary>Place and size of the picture while it fills none, screen coordinates.</summary>
    protected abstract (int X, int Y, int Width, int Height) Bounds { get; }

    /// <summary>Makes it a window with a frame, its picture there.</summary>
    protected abstract void PutAt(int x, int y, int width, int height);

    protected abstract void Fill(WindowScreen screen);

    protected void Tell(WindowInput input) => Input?.Invoke(input);

    private static bool Named(string variable) => Environment.GetEnvironmentVariable(variable) is { Length: > 0 };

    private void FillScreen(int index, (int X, int Y, int Width, int Height)? before = null)
    {
        var screens = Screens();
        if (index >= 0 && index < screens.Count)
        {
            _before = before ?? (FullScreen ? _before : Bounds);
            Fill(screens[index]);
        }
    }

    private int ScreenUnder()
    {
        if (Filled is >= 0 and var filled)
        {
            return filled;
        }

        var (x, y, w, h) = Bounds;
        return Screens().OrderByDescending(s => Share(s, x, y, w, h)).Select(s => s.Index).FirstOrDefault();
    }

    /// <summary>How much of a window lies on a screen, screen coordinates squared.</summary>
    private static long Share(WindowScreen s, long x, long y, long w, long h) =>
        Math.Max(0, Math.Min(x + w, s.X + s.Width) - Math.Max(x, s.X)) * Math.Max(0, Math.Min(y + h, s.Y + s.Height) - Math.Max(y, s.Y));
}
