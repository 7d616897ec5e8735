using System.Runtime.InteropServices;
using StageView.Ground.Systems;

namespace StageView.Render.Contexts;

/// <summary>The functions of GLFW that the window needs, as <c>GLFW/glfw3.h</c> 3.3 declares them.</summary>
internal static unsafe class GlfwNative
{
    private const string Library = "glfw3";

    public const int True = 1;
    public const int Press = 1;
    public const int Repeat = 2;
    public const int ContextVersionMajor = 0x00022002;
    public const int ContextVersionMinor = 0x00022003;
    public const int ContextRobustness = 0x00022005;
    public const int LoseContextOnReset = 0x00031002;
    public const int OpenGlForwardCompatible = 0x00022006;
    public const int OpenGlProfile = 0x00022008;
    public const int OpenGlCoreProfile = 0x00032001;
    public const int Visible = 0x00020004;
    public const int DoNotCare = -1;

    private static readonly string s_file = ThisSystem.Choose(() => "libglfw.so.3", () => "glfw3.dll", () => "libglfw.3.dylib");
    private static readonly Lazy<nint> s_library = new(Load);

    /// <summary>Whether it can be loaded; to be asked before anything else.</summary>
    public static bool IsThere => s_library.Value != 0;

    public static string Missing => $"{s_file} is missing ({ThisSystem.Choose(() => "on Debian: apt-get install libglfw3", () => "put it beside stageview.exe",
        () => "install GLFW 3, or put the file beside stageview")})";

    [StructLayout(LayoutKind.Sequential)]
    public struct VideoMode
    {
        public int Width;
        public int Height;
        public int RedBits;
        public int GreenBits;
        public int BlueBits;
        public int RefreshRate;
    }

    [DllImport(Library, EntryPoint = "glfwInit")]
    public static extern int Init();

    [DllImport(Library, EntryPoint = "glfwTerminate")]
    public static extern void Terminate();

    [DllImport(Library, EntryPoint = "glfwGetError")]
    public static extern int GetError(byte** description);

    [DllImport(Library, EntryPoint = "glfwWindowHint")]
    public static extern void WindowHint(int hint, int value);

    [DllImport(Library, EntryPoint = "glfwCreateWindow")]
    public static extern nint CreateWindow(int width, int height, byte* title, nint monitor, nint share);

    [DllImport(Library, EntryPoint = "glfwDestroyWindow")]
    public static extern void DestroyWindow(nint window);

    [DllImport(Library, EntryPoint = "glfwSetWindowTitle")]
    public static extern void SetWindowTitle(nint window, byte* title);

    [DllImport(Library, EntryPoint = "glfwMakeContextCurrent")]
    public static extern void MakeContextCurrent(nint window);

    [DllImport(Library, EntryPoint = "glfwGetCurrentContext")]
    public static extern nint GetCurrentContext();

    [DllImport(Library, EntryPoint = "glfwGetProcAddress", CharSet = CharSet.Ansi, BestFitMapping = false, ThrowOnUnmappableChar = true)]
    public static extern nint GetProcAddress(string name);

    [DllImport(Library, EntryPoint = "glfwSwapInterval")]
    public static extern void SwapInterval(int interval);

    [DllImport(Library, EntryPoint = "glfwSwapBuffers")]
    public static extern void SwapBuffers(nint window);

    [DllImport(Library, EntryPoint = "glfwPollEvents")]
    public static extern void PollEvents();

    [DllImport(Library, EntryPoint = "glfwWindowShouldClose")]
    public static extern int WindowShouldClose(nint window);

    [DllImport(Library, EntryPoint = "glfwGetFramebufferSize")]
    public static extern void GetFramebufferSize(nint window, out int width, out int height);

    [DllImport(Library, EntryPoint = "glfwGetWindowSize")]
    public static extern void GetWindowSize(nint window, out int width, out int height);

    [DllImport(Library, EntryPoint = "glfwSetWindowSize")]
    public static extern void SetWindowSize(nint window, int width, int height);

    [DllImport(Library, EntryPoint = "glfwGetWindowPos")]
    public static extern void GetWindowPos(nint window, out int x, out int y);

    [DllImport(Library, EntryPoint = "glfwSetWindowMonitor")]
    public static extern void SetWindowMonitor(nint window, nint monitor, int x, int y, int width, int height, int refreshRate);

    [DllImport(Library, EntryPoint = "glfwGetWindowMonitor")]
    public static extern nint GetWindowMonitor(nint window);

    [DllImport(Library, EntryPoint = "glfwGetMonitors")]
    public static extern nint* GetMonitors(out int count);

    [DllImport(Library, EntryPoint = "glfwGetMonitorPos")]
    public static extern void GetMonitorPos(nint monitor, out int x, out int y);

    [DllImport(Library, EntryPoint = "glfwGetMonitorName")]
    public static extern byte* GetMonitorName(nint monitor);

    [DllImport(Library, EntryPoint = "glfwGetVideoMode")]
    public static extern VideoMode* GetVideoMode(nint monitor);

    [DllImport(Library, EntryPoint = "glfwSetKeyCallback")]
    public static extern nint SetKeyCallback(nint window, delegate* unmanaged<nint, int, int, int, int, void> callback);

    [DllImport(Library, EntryPoint = "glfwSetCursorPosCallback")]
    public static extern nint SetCursorPosCallback(nint window, delegate* unmanaged<nint, double, double, void> callback);

    [DllImport(Library, EntryPoint = "glfwSetMouseButtonCallback")]
    public static extern nint SetMouseButtonCallback(nint window, delegate* unmanaged<nint, int, int, int, void> callback);

    [DllImport(Library, EntryPoint = "glfwSetScrollCallback")]
    public static extern nint SetScrollCallback(nint window, delegate* unmanaged<nint, double, double, void> callback);

    // By the file's own name on each system: beside the program, else where the system looks; macOS looks in few places.
    private static nint Load()
    {
        NativeLibrary.SetDllImportResolver(typeof(GlfwNative).Assembly, (name, _, _) => name == Library ? s_library.Value : 0);
        foreach (var folder in new[] { AppContext.BaseDirectory, "", "/usr/local/lib", "/opt/local/lib" })
        {
            if (NativeLibrary.TryLoad(Path.Combine(folder, s_file), out var found))
            {
                return found;
            }
        }

        return 0;
    }

    /// <summary>The last error in GLFW's own words, or null.</summary>
    public static string? LastError()
    {
        byte* words;
        return GetError(&words) == 0 || words is null ? null : Marshal.PtrToStringUTF8((nint)words);
    }
}
