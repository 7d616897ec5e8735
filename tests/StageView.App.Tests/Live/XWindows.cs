using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace StageView.App.Tests.Live;

/// <summary>What a window manager and a hand on the keyboard would do to windows of a display, through libX11 and libXtst.</summary>
internal static partial class XWindows
{
    // A window may go between being listed and being asked about. Xlib's own handler ends the process then, and all tests with it.
    static unsafe XWindows() => _ = XSetErrorHandler(&Refused);

    /// <summary>Gives the display's first viewable window another size.</summary>
    public static unsafe void Resize(string display, int width, int height)
    {
        var d = XOpenDisplay(display);
        Assert.NotEqual(0, d);
        try
        {
            _ = XQueryTree(d, XDefaultRootWindow(d), out _, out _, out var children, out var count);
            for (var i = 0; i < count; i++)
            {
                _ = XResizeWindow(d, children[i], (uint)width, (uint)height);
            }

            _ = XFlush(d);
        }
        finally
        {
            _ = XCloseDisplay(d);
        }
    }

    /// <summary>Place and size of the display's largest viewable window.</summary>
    public static unsafe (int X, int Y, int Width, int Height) Largest(string display)
    {
        var d = XOpenDisplay(display);
        Assert.NotEqual(0, d);
        try
        {
            var best = (X: 0, Y: 0, Width: 0, Height: 0);
            _ = XQueryTree(d, XDefaultRootWindow(d), out _, out _, out var children, out var count);
            for (var i = 0; i < count; i++)
            {
                if (XGetGeometry(d, children[i], out _, out var x, out var y, out var w, out var h, out _, out _) != 0)
                {
                    best = w * h > best.Width * best.Height ? (x, y, (int)w, (int)h) : best;
                }
            }

            return best;
        }
        finally
        {
            _ = XCloseDisplay(d);
        }
    }

    /// <summary>Presses a key over a point of the display; without a window manager the window under the pointer hears it.</summary>
    /// <param name="name">As X names it: <c>F11</c>, <c>Escape</c>.</param>
    public static void Press(string display, string name, int x, int y)
    {
        var d = XOpenDisplay(display);
        Assert.NotEqual(0, d);
        try
        {
            var key = XKeysymToKeycode(d, XStringToKeysym(name));
            _ = XTestFakeMotionEvent(d, -1, x, y, 0);
            _ = XTestFakeKeyEvent(d, key, 1, 30);
            _ = XTestFakeKeyEvent(d, key, 0, 30);

            // Until the server has done it: a client that leaves takes what is still waiting with it.
            _ = XSync(d, 0);
        }
        finally
        {
            _ = XCloseDisplay(d);
        }
    }

    /// <summary>Presses a button over a point, moves by a way and lets go.</summary>
    public static void Drag(string display, int x, int y, int dx, int dy)
    {
        var d = XOpenDisplay(display);
        Assert.NotEqual(0, d);
        try
        {
            _ = XTestFakeMotionEvent(d, -1, x, y, 0);
            _ = XTestFakeButtonEvent(d, 1, 1, 0);
            for (var i = 1; i <= 8; i++)
            {
                _ = XTestFakeMotionEvent(d, -1, x + (dx * i / 8), y + (dy * i / 8), 0);
            }

            _ = XTestFakeButtonEvent(d, 1, 0, 30);
            _ = XSync(d, 0);
        }
        finally
        {
            _ = XCloseDisplay(d);
        }
    }

    [UnmanagedCallersOnly(CallConvs = [typeof(CallConvCdecl)])]
    private static int Refused(nint display, nint error) => 0;

    [DllImport("libX11.so.6")]
    private static extern unsafe nint XSetErrorHandler(delegate* unmanaged[Cdecl]<nint, nint, int> handler);

    [DllImport("libX11.so.6")]
    private static extern int XGetGeometry(nint display, nuint drawable, out nuint root, out int x, out int y, out uint width, out uint height, out uint border,
        out uint depth);

    [DllImport("libX11.so.6", CharSet = CharSet.Ansi, BestFitMapping = false, ThrowOnUnmappableChar = true)]
    private static extern nuint XStringToKeysym(string name);

    [DllImport("libX11.so.6")]
    private static extern byte XKeysymToKeycode(nint display, nuint keysym);

    [DllImport("libXtst.so.6")]
    private static extern int XTestFakeKeyEvent(nint display, uint key, int press, nuint delay);

    [DllImport("libXtst.so.6")]
    private static extern int XTestFakeButtonEvent(nint display, uint button, int press, nuint delay);

    [DllImport("libXtst.so.6")]
    private static extern int XTestFakeMotionEvent(nint display, int screen, int x, int y, nuint delay);

    [DllImport("libX11.so.6", CharSet = CharSet.Ansi, BestFitMapping = false, ThrowOnUnmappableChar = true)]
    private static extern nint XOpenDisplay(string name);

    [DllImport("libX11.so.6")]
    private static extern nuint XDefaultRootWindow(nint display);

    [DllImport("libX11.so.6")]
    private static extern unsafe int XQueryTree(nint display, nuint window, out nuint root, out nuint parent, out nuint* children, out uint count);

    [DllImport("libX11.so.6")]
    private static extern int XResizeWindow(nint display, nuint window, uint width, uint height);

    [DllImport("libX11.so.6")]
    private static extern int XSync(nint display, int discard);

    [DllImport("libX11.so.6")]
    private static extern int XFlush(nint display);

    [DllImport("libX11.so.6")]
    private static extern int XCloseDisplay(nint display);
}
