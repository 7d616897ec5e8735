using System.Runtime.InteropServices;

namespace StageView.Render.Contexts;

/// <summary>The functions of <c>user32</c> that a window needs, as <c>winuser.h</c> declares them.</summary>
internal static unsafe class Win32Native
{
    public const uint Overlapped = 0x00CF0000, Popup = 0x80000000, Visible = 0x10000000, ClipAll = 0x06000000;
    public const int StyleIndex = -16;
    public const uint NoZOrder = 4, FrameChanged = 0x20, NoMove = 2;
    public const uint Close = 0x10, EraseBackground = 0x14, KeyDown = 0x100, SysKeyDown = 0x104, MouseMove = 0x200, LeftDown = 0x201, LeftUp = 0x202,
        RightDown = 0x204, RightUp = 0x205, MiddleDown = 0x207, MiddleUp = 0x208, Wheel = 0x20A;
    public const int ShowNormal = 1;
    private const string User = "user32";
    private const int OwnDeviceContext = 0x20, UseDefault = unchecked((int)0x80000000), Arrow = 32512, ModeSize = 220, ModeSizeAt = 68, FrequencyAt = 184;
    private static readonly Lazy<bool> s_class = new(Register);

    /// <summary>What a window is told; answers 0 for messages that are done with, null for Windows' own way. On the thread of the window.</summary>
    public static Func<nint, uint, nuint, nint, nint?>? Heard { get; set; }

    /// <summary>A window of our class, not shown; 0 where there can be none.</summary>
    /// <param name="x">Screen coordinates, or <see cref="int.MinValue"/> for where Windows likes.</param>
    public static nint CreateWindow(string title, uint style, int x, int y, int width, int height)
    {
        if (!s_class.Value)
        {
            return 0;
        }

        fixed (char* name = ClassName, words = title)
        {
            return CreateWindowExW(0, name, words, style | ClipAll, x == int.MinValue ? UseDefault : x, y, width, height, 0, 0, 0, 0);
        }
    }

    /// <summary>Outer size and place of a window whose picture is to lie there.</summary>
    public static Rect Framed(int x, int y, int width, int height)
    {
        var rect = new Rect { Left = x, Top = y, Right = x + width, Bottom = y + height };
        _ = AdjustWindowRectEx(&rect, Overlapped, 0, 0);
        return rect;
    }

    /// <summary>Screens, in the order that Windows tells them.</summary>
    public static List<WindowScreen> Screens()
    {
        var found = new List<WindowScreen>();
        var handle = GCHandle.Alloc(found);
        _ = EnumDisplayMonitors(0, 0, &OnMonitor, GCHandle.ToIntPtr(handle));
        handle.Free();
        return found;
    }

    private static string ClassName => "StageView window\0";

    private static bool Register()
    {
        try
        {
            // Sizes in pixels of the screen, not of a screen of 96 dots an inch.
            _ = SetProcessDpiAwarenessContext(-4);
        }
        catch (EntryPointNotFoundException)
        {
            // Before Windows 10, 1703.
        }

        fixed (char* name = ClassName)
        {
            var own = new WindowClass
            {
                Size = (uint)sizeof(WindowClass), Style = OwnDeviceContext, Procedure = &OnMessage, Cursor = LoadCursorW(0, Arrow), ClassName = name,
            };
            return RegisterClassExW(&own) != 0;
        }
    }

    [UnmanagedCallersOnly]
    private static nint OnMessage(nint window, uint message, nuint word, nint along) =>
        Heard?.Invoke(window, message, word, along) ?? DefWindowProcW(window, message, word, along);

    [UnmanagedCallersOnly]
    private static int OnMonitor(nint monitor, nint device, Rect* rect, nint list)
    {
        var info = new MonitorInfo { Size = (uint)sizeof(MonitorInfo) };
        if (GetMonitorInfoW(monitor, &info) != 0 && GCHandle.FromIntPtr(list).Target is List<WindowScreen> found)
        {
            var mode = stackalloc byte[ModeSize];
            *(ushort*)(mode + ModeSizeAt) = ModeSize;
            var hertz = EnumDisplaySettingsW(info.Device, -1, mode) != 0 ? *(int*)(mode + FrequencyAt) : 0;
            found.Add(new WindowScreen(found.Count, new string(info.Device), info.Whole.Left, info.Whole.Top, info.Whole.Right - info.Whole.Left,
                info.Whole.Bottom - info.Whole.Top, hertz));
        }

        return 1;
    }

    [StructLayout(LayoutKind.Sequential)]
    public struct Rect
    {
        public int Left, Top, Right, Bottom;
    }

    [StructLayout(LayoutKind.Sequential)]
    public struct Message
    {
        public nint Window;
        public uint Kind;
        public nuint Word;
        public nint Along;
        public uint Time;
        public int X, Y;
        private readonly uint _own;
    }

    [StructLayout(LayoutKind.Sequential)]
    private struct WindowClass
    {
        public uint Size, Style;
        public delegate* unmanaged<nint, uint, nuint, nint, nint> Procedure;
        public int ClassExtra, WindowExtra;
        public nint Instance, Icon, Cursor, Background;
        public char* MenuName, ClassName;
        public nint SmallIcon;
    }

    [StructLayout(LayoutKind.Sequential)]
    private struct MonitorInfo
    {
        public uint Size;
        public Rect Whole, Work;
        public uint Flags;
        public fixed char Device[32];
    }

#pragma warning disable CA5392 // All of them are in user32, which Windows has loaded already.
    [DllImport(User)]
    public static extern nint GetDC(nint window);

    [DllImport(User)]
    public static extern int DestroyWindow(nint window);

    [DllImport(User)]
    public static extern int ShowWindow(nint window, int how);

    [DllImport(User, CharSet = CharSet.Unicode)]
    public static extern int SetWindowTextW(nint window, string title);

    [DllImport(User)]
    public static extern int GetClientRect(nint window, out Rect rect);

    [DllImport(User)]
    public static extern int ClientToScreen(nint window, int* point);

    [DllImport(User)]
    public static extern int ScreenToClient(nint window, int* point);

    [DllImport(User)]
    public static extern int SetWindowPos(nint window, nint after, int x, int y, int width, int height, uint flags);

    [DllImport(User)]
    public static extern nint SetWindowLongPtrW(nint window, int index, nint value);

    [DllImport(User)]
    public static extern int PeekMessageW(out Message message, nint window, uint least, uint most, uint remove);

    [DllImport(User)]
    public static extern nint DispatchMessageW(in Message message);

    [DllImport(User)]
    public static extern nint SetCapture(nint window);

    [DllImport(User)]
    public static extern int ReleaseCapture();

    [DllImport(User)]
    public static extern short GetKeyState(int key);

    [DllImport(User)]
    private static extern nint CreateWindowExW(uint exStyle, char* name, char* title, uint style, int x, int y, int width, int height, nint parent, nint menu,
        nint instance, nint param);

    [DllImport(User)]
    private static extern ushort RegisterClassExW(WindowClass* own);

    [DllImport(User)]
    private static extern nint DefWindowProcW(nint window, uint message, nuint word, nint along);

    [DllImport(User)]
    private static extern nint LoadCursorW(nint instance, nint name);

    [DllImport(User)]
    private static extern int AdjustWindowRectEx(Rect* rect, uint style, int menu, uint exStyle);

    [DllImport(User)]
    private static extern int EnumDisplayMonitors(nint device, nint clip, delegate* unmanaged<nint, nint, Rect*, nint, int> each, nint given);

    [DllImport(User)]
    private static extern int GetMonitorInfoW(nint monitor, MonitorInfo* info);

    [DllImport(User)]
    private static extern int EnumDisplaySettingsW(char* device, int which, byte* mode);

    [DllImport(User)]
    private static extern int SetProcessDpiAwarenessContext(nint value);
#pragma warning restore CA5392
}
