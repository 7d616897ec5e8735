using System.Runtime.InteropServices;

namespace StageView.Render.Contexts;

/// <summary>The dozen functions of EGL 1.5 (Khronos registry) that a context without a window needs.</summary>
internal sealed unsafe class EglLibrary
{
    // eglext.h and egl.h values.
    public const int PlatformDevice = 0x313F;
    public const int PlatformSurfaceless = 0x31DD;
    public const int OpenGlApi = 0x30A2;
    public const int ContextMajor = 0x3098;
    public const int ContextMinor = 0x30FB;
    public const int ContextProfileMask = 0x30FD;
    public const int CoreProfileBit = 1;
    public const int ResetNotification = 0x31BD;
    public const int LoseContextOnReset = 0x31BF;
    public const int ContextLost = 0x300E;
    public const int None = 0x3038;
    public const int Extensions = 0x3055;

    private readonly delegate* unmanaged<byte*, nint> _getProcAddress;
    private readonly delegate* unmanaged<nint, int, byte*> _queryString;
    private readonly delegate* unmanaged<nint, int*, int*, uint> _initialize;
    private readonly delegate* unmanaged<uint, uint> _bindApi;
    private readonly delegate* unmanaged<nint, nint, nint, int*, nint> _createContext;
    private readonly delegate* unmanaged<nint, nint, uint> _destroyContext;
    private readonly delegate* unmanaged<nint, nint, nint, nint, uint> _makeCurrent;
    private readonly delegate* unmanaged<int> _getError;
    private readonly delegate* unmanaged<int, nint*, int*, uint> _queryDevices;
    private readonly delegate* unmanaged<int, nint, int*, nint> _getPlatformDisplay;

    private EglLibrary(nint library)
    {
        nint F(string name) => NativeLibrary.GetExport(library, name);
        _getProcAddress = (delegate* unmanaged<byte*, nint>)F("eglGetProcAddress");
        _queryString = (delegate* unmanaged<nint, int, byte*>)F("eglQueryString");
        _initialize = (delegate* unmanaged<nint, int*, int*, uint>)F("eglInitialize");
        _bindApi = (delegate* unmanaged<uint, uint>)F("eglBindAPI");
        _createContext = (delegate* unmanaged<nint, nint, nint, int*, nint>)F("eglCreateContext");
        _destroyContext = (delegate* unmanaged<nint, nint, uint>)F("eglDestroyContext");
        _makeCurrent = (delegate* unmanaged<nint, nint, nint, nint, uint>)F("eglMakeCurrent");
        _getError = (delegate* unmanaged<int>)F("eglGetError");
        _queryDevices = (delegate* unmanaged<int, nint*, int*, uint>)Address("eglQueryDevicesEXT");
        _getPlatformDisplay = (delegate* unmanaged<int, nint, int*, nint>)Address("eglGetPlatformDisplayEXT");
    }

    public int Error => _getError();

    /// <exception cref="MachineCannotException">No EGL library, or one too old to work without a window.</exception>
    public static EglLibrary Load()
    {
        if (!NativeLibrary.TryLoad("libEGL.so.1", out var library))
        {
            throw new MachineCannotException(
                "libEGL.so.1 is missing, so nothing can be drawn without a window. Install it: apt-get install libegl1 libegl-mesa0 libgl1-mesa-dri");
        }

        var egl = new EglLibrary(library);
        if (egl._getPlatformDisplay == null)
        {
            throw new MachineCannotException(
                "the installed libEGL.so.1 is too old: EGL_EXT_platform_base is missing. Install a current Mesa: apt-get install libegl-mesa0 libgl1-mesa-dri");
        }

        return egl;
    }

    public nint Address(string function)
    {
        var name = Marshal.StringToCoTaskMemUTF8(function);
        var address = _getProcAddress((byte*)name);
        Marshal.FreeCoTaskMem(name);
        return address;
    }

    public string ClientExtensions => Marshal.PtrToStringUTF8((nint)_queryString(0, Extensions)) ?? "";

    public nint[] Devices()
    {
        if (_queryDevices == null)
        {
            return [];
        }

        Span<nint> found = stackalloc nint[16];
        int count;
        fixed (nint* p = found)
        {
            return _queryDevices(found.Length, p, &count) != 0 ? found[..count].ToArray() : [];
        }
    }

    /// <summary>An initialised display, or 0.</summary>
    public nint Display(int platform, nint native)
    {
        var display = _getPlatformDisplay(platform, native, null);
        int major, minor;
        return display != 0 && _initialize(display, &major, &minor) != 0 ? display : 0;
    }

    /// <summary>A context, or 0. One that tells when it is lost (EGL 1.5, section 3.7.1) where the driver has such.</summary>
    public nint CreateContext(nint display, int major, int minor)
    {
        _bindApi(OpenGlApi);
        int* wanted = stackalloc int[] { ContextMajor, major, ContextMinor, minor, ContextProfileMask, CoreProfileBit, ResetNotification, LoseContextOnReset,
            None };
        var telling = _createContext(display, 0, 0, wanted);
        if (telling != 0)
        {
            return telling;
        }

        wanted[6] = None;
        return _createContext(display, 0, 0, wanted);
    }

    public bool MakeCurrent(nint display, nint context)
    {
        _bindApi(OpenGlApi);
        return _makeCurrent(display, 0, 0, context) != 0;
    }

    public void Destroy(nint display, nint context)
    {
        _makeCurrent(display, 0, 0, 0);
        _destroyContext(display, context);
    }

}
