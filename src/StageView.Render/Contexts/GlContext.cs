using Silk.NET.OpenGL;

namespace StageView.Render;

/// <summary>An OpenGL 4.1 core context that frames are drawn with. Current on one thread at a time, only between <see cref="Enter"/> and <see cref="Leave"/>.</summary>
public abstract class GlContext : IDisposable
{
    private GL? _gl;

    /// <summary>What draws, as the driver names itself; kept beside every baseline picture.</summary>
    public string Renderer { get; private set; } = "";

    /// <summary>The driver's own version text.</summary>
    public string DriverVersion { get; private set; } = "";

    /// <summary>True for a rasteriser on the CPU.</summary>
    public bool IsSoftware { get; private set; }

    internal GL Gl => _gl ?? throw new InvalidOperationException("the context was never entered");

    /// <summary>Version given, as 10 × major + minor (at least 41).</summary>
    internal int Version { get; private set; }

    /// <summary>Makes the context current on this thread.</summary>
    public void Enter()
    {
        MakeCurrent();
        if (_gl is null)
        {
            _gl = GL.GetApi(Address);
            Renderer = _gl.GetStringS(StringName.Renderer);
            DriverVersion = _gl.GetStringS(StringName.Version);
            IsSoftware = Renderer.Contains("llvmpipe", StringComparison.Ordinal) || Renderer.Contains("softpipe", StringComparison.Ordinal);
            Version = (10 * _gl.GetInteger(GLEnum.MajorVersion)) + _gl.GetInteger(GLEnum.MinorVersion);
            if (Version < 41)
            {
                throw new MachineCannotException($"OpenGL {Version / 10}.{Version % 10} from \"{Renderer}\" is too old: 4.1 is needed. Update the graphics driver or Mesa.");
            }
        }
    }

    /// <summary>Lets go of the context, so that another thread may enter.</summary>
    public void Leave() => Release();

    public void Dispose()
    {
        Dispose(true);
        GC.SuppressFinalize(this);
    }

    protected abstract void MakeCurrent();

    protected abstract void Release();

    protected abstract nint Address(string function);

    protected virtual void Dispose(bool disposing) => _gl?.Dispose();
}
