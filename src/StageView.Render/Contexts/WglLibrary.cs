using System.Runtime.InteropServices;

namespace StageView.Render.Contexts;

/// <summary>OpenGL of Windows: contexts for the device context of a window (wingdi.h; WGL_ARB_create_context, WGL_ARB_create_context_robustness).</summary>
internal static unsafe class WglLibrary
{
    private const string Gl = "opengl32", Gdi = "gdi32";
    private const int DoubleBuffer = 1, DrawToWindow = 4, SupportOpenGl = 0x20;
    private const int Major = 0x2091, Minor = 0x2092, Flags = 0x2094, ProfileMask = 0x9126, CoreProfile = 1;
    private const int RobustAccess = 4, ResetNotification = 0x8256, LoseContextOnReset = 0x8252;
    private static readonly nint s_library = NativeLibrary.TryLoad(Gl, out var library) ? library : 0;

    /// <summary>
    /// A core context, 4.3 for compute where it is given, 4.1 else, one that tells of its loss where the driver has such; 0 where there is none.
    /// </summary>
    /// <param name="device">Device context of a window of our own, without a pixel format yet.</param>
    public static nint Create(nint device)
    {
        var wanted = new PixelFormat
        {
            Size = (ushort)sizeof(PixelFormat), Version = 1, Flags = DoubleBuffer | DrawToWindow | SupportOpenGl, ColourBits = 24, AlphaBits = 8,
        };
        var format = ChoosePixelFormat(device, &wanted);
        if (format == 0 || SetPixelFormat(device, format, &wanted) == 0)
        {
            return 0;
        }

        // How to make a context of today is known only to one of yesterday.
        var old = wglCreateContext(device);
        if (old == 0 || wglMakeCurrent(device, old) == 0)
        {
            return 0;
        }

        var create = (delegate* unmanaged<nint, nint, int*, nint>)wglGetProcAddress("wglCreateContextAttribsARB");
        var asked = stackalloc int[11];
        nint made = 0;
        foreach (var (minor, flags) in new[] { (3, RobustAccess), (3, 0), (1, RobustAccess), (1, 0) })
        {
            // A zero ends the list: without the flag nothing is asked about losses.
            ReadOnlySpan<int> list =
            [
                Major, 4, Minor, minor, ProfileMask, CoreProfile, flags == 0 ? 0 : Flags, flags, ResetNotification, LoseContextOnReset, 0,
            ];
            list.CopyTo(new Span<int>(asked, 11));
            made = create == null ? 0 : create(device, 0, asked);
            if (made != 0)
            {
                break;
            }
        }

        Release();
        _ = wglDeleteContext(old);
        return made;
    }

    public static bool MakeCurrent(nint device, nint context) => wglMakeCurrent(device, context) != 0;

    public static void Release() => _ = wglMakeCurrent(0, 0);

    public static void Destroy(nint context)
    {
        Release();
        _ = wglDeleteContext(context);
    }

    public static void Swap(nint device) => _ = SwapBuffers(device);

    /// <summary>Swaps wait for the screen's refresh, where the driver can (WGL_EXT_swap_control); the context is current.</summary>
    public static void WaitForRefresh()
    {
        var interval = (delegate* unmanaged<int, int>)wglGetProcAddress("wglSwapIntervalEXT");
        if (interval != null)
        {
            _ = interval(1);
        }
    }

    /// <summary>A function of the current context; those of OpenGL 1.1 are in the library itself.</summary>
    public static nint Address(string function)
    {
        var address = wglGetProcAddress(function);
        return address is >= -1 and <= 3 ? NativeLibrary.TryGetExport(s_library, function, out var own) ? own : 0 : address;
    }

    /// <summary>PIXELFORMATDESCRIPTOR.</summary>
    [StructLayout(LayoutKind.Sequential, Size = 40)]
    private struct PixelFormat
    {
        public ushort Size;
        public ushort Version;
        public uint Flags;
        public byte Type;
        public byte ColourBits;
        public fixed byte Colours[6];
        public byte AlphaBits;
    }

    [DllImport(Gdi), DefaultDllImportSearchPaths(DllImportSearchPath.System32)]
    private static extern int ChoosePixelFormat(nint device, PixelFormat* wanted);

    [DllImport(Gdi), DefaultDllImportSearchPaths(DllImportSearchPath.System32)]
    private static extern int SetPixelFormat(nint device, int format, PixelFormat* wanted);

    [DllImport(Gdi), DefaultDllImportSearchPaths(DllImportSearchPath.System32)]
    private static extern int SwapBuffers(nint device);

    [DllImport(Gl), DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern nint wglCreateContext(nint device);

    [DllImport(Gl), DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int wglMakeCurrent(nint device, nint context);

    [DllImport(Gl), DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern int wglDeleteContext(nint context);

    [DllImport(Gl, CharSet = CharSet.Ansi, BestFitMapping = false, ThrowOnUnmappableChar = true)]
    [DefaultDllImportSearchPaths(DllImportSearchPath.SafeDirectories)]
    private static extern nint wglGetProcAddress(string function);
}
