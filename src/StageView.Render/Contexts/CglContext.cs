using System.Runtime.InteropServices;

namespace StageView.Render.Contexts;

/// <summary>A context of macOS without a window (OpenGL/OpenGL.h, OpenGL/CGLTypes.h). Written to what Apple publishes; not tried on a Mac.</summary>
public sealed unsafe class CglContext : GlContext
{
    private const string Library = "/System/Library/Frameworks/OpenGL.framework/OpenGL";
    private const int ProfileAttribute = 99, Core41 = 0x4100, ColourSize = 8, Accelerated = 73, AllowOffline = 96;
    private readonly nint _library;
    private nint _context;

    private CglContext(nint library, nint context) => (_library, _context) = (library, context);

    /// <summary>Opens the context and lets go of it again; <see cref="GlContext.Enter"/> makes it current.</summary>
    /// <exception cref="MachineCannotException">No OpenGL 4.1.</exception>
    public static CglContext Open()
    {
        if (!NativeLibrary.TryLoad(Library, out var library))
        {
            throw new MachineCannotException($"{Library} can't be loaded: this macOS has no OpenGL any more");
        }

        // A graphics processor first, those without a screen, too; the rasteriser on the processor else.
        return TryOpen(library, [ProfileAttribute, Core41, ColourSize, 24, Accelerated, AllowOffline, 0])
            ?? TryOpen(library, [ProfileAttribute, Core41, ColourSize, 24, 0])
            ?? throw new MachineCannotException("this macOS gives no OpenGL 4.1 core context");
    }

    private static CglContext? TryOpen(nint library, int[] attributes)
    {
        nint format = 0, context = 0;
        int count;
        fixed (int* asked = attributes)
        {
            if (CGLChoosePixelFormat(asked, &format, &count) != 0 || format == 0)
            {
                return null;
            }
        }

        var error = CGLCreateContext(format, 0, &context);
        _ = CGLDestroyPixelFormat(format);
        return error == 0 && context != 0 ? new CglContext(library, context) : null;
    }

    protected override void MakeCurrent()
    {
        var error = CGLSetCurrentContext(_context);
        if (error != 0)
        {
            throw LostError($"it can't be made current (CGL error {error})");
        }
    }

    protected override void Release() => _ = CGLSetCurrentContext(0);

    protected override nint Address(string function) => NativeLibrary.TryGetExport(_library, function, out var address) ? address : 0;

    protected override void Dispose(bool disposing)
    {
        base.Dispose(disposing);
        if (_context != 0)
        {
            _ = CGLSetCurrentContext(0);
            _ = CGLDestroyContext(_context);
            _context = 0;
        }
    }

    [DllImport(Library)]
    private static extern int CGLChoosePixelFormat(int* attributes, nint* format, int* count);

    [DllImport(Library)]
    private static extern int CGLDestroyPixelFormat(nint format);

    [DllImport(Library)]
    private static extern int CGLCreateContext(nint format, nint share, nint* context);

    [DllImport(Library)]
    private static extern int CGLDestroyContext(nint context);

    [DllImport(Library)]
    private static extern int CGLSetCurrentContext(nint context);
}
