using System.Runtime.InteropServices;

namespace StageView.App.Tests.Live;

/// <summary>What a window manager would do to windows of a display, through libX11.</summary>
internal static partial class XWindows
{
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

    [DllImport("libX11.so.6", CharSet = CharSet.Ansi, BestFitMapping = false, ThrowOnUnmappableChar = true)]
    private static extern nint XOpenDisplay(string name);

    [DllImport("libX11.so.6")]
    private static extern nuint XDefaultRootWindow(nint display);

    [DllImport("libX11.so.6")]
    private static extern unsafe int XQueryTree(nint display, nuint window, out nuint root, out nuint parent, out nuint* children, out uint count);

    [DllImport("libX11.so.6")]
    private static extern int XResizeWindow(nint display, nuint window, uint width, uint height);

    [DllImport("libX11.so.6")]
    private static extern int XFlush(nint display);

    [DllImport("libX11.so.6")]
    private static extern int XCloseDisplay(nint display);
}
