using Silk.NET.OpenGL;

namespace StageView.Render.Contexts;

/// <summary>
/// An OpenGL 4.1 core context that frames are drawn with. Current on one thread at a time, only between <see cref="Enter"/> and <see cref="Leave"/>.
/// </summary>
public abstract unsafe class GlContext : IDisposable
{
    private GL? _gl;
    private delegate* unmanaged<uint> _resetStatus;
    private string? _lost;

    /// <summary>What draws, as the driver names itself; kept beside every baseline picture.</summary>
    public string Renderer { get; private set; } = "";

    /// <summary>The driver's own version text.</summary>
    public string DriverVersion { get; private set; } = "";

    /// <summary>How light is drawn with it unless told otherwise; known once it was entered.</summary>
    public string Way => Version >= 43 && !IsSoftware ? "light by tiles in compute shaders" : "light by fragments, as OpenGL 4.1 can";

    /// <summary>True for a rasteriser on the CPU.</summary>
    public bool IsSoftware { get; private set; }

    internal GL Gl => _gl ?? throw new InvalidOperationException("the context was never entered");

    /// <summary>Version given, as 10 × major + minor (at least 41).</summary>
    internal int Version { get; private set; }

    /// <summary>True when the driver says that it tells of a lost context.</summary>
    internal bool TellsLoss => _resetStatus != null && Gl.GetInteger(GLEnum.ResetNotificationStrategy) == (int)GLEnum.LoseContextOnReset;

    /// <summary>Makes the context current on this thread.</summary>
    /// <exception cref="MachineCannotException">It can't be made current, or is too old.</exception>
    /// <exception cref="ContextLostException">It was lost.</exception>
    public void Enter()
    {
        MakeCurrent();
        if (_gl is null)
        {
            _gl = GL.GetApi(Address);
            Renderer = _gl.GetStringS(StringName.Renderer);
            DriverVersion = _gl.GetStringS(StringName.Version);
            IsSoftware = Renderer.Contains("llvmpipe", StringComparison.Ordinal) || Renderer.Contains("softpipe", StringComparison.Ordinal)
                || Renderer.Contains("Software Renderer", StringComparison.Ordinal);
            Version = (10 * _gl.GetInteger(GLEnum.MajorVersion)) + _gl.GetInteger(GLEnum.MinorVersion);
            if (Version < 41)
            {
                throw new MachineCannotException(
                    $"OpenGL {Version / 10}.{Version % 10} from \"{Renderer}\" is too old: 4.1 is needed. Update the graphics driver or Mesa.");
            }

            _resetStatus = (delegate* unmanaged<uint>)ResetStatus(_gl);
        }
    }

    /// <summary>
    /// Throws when the context was lost: OpenGL 4.5, section 2.3.2 "Graphics Reset Recovery". A driver that doesn't tell of it
    /// (Mesa's rasteriser, which has nothing to lose) never makes it throw. Call it between <see cref="Enter"/> and <see cref="Leave"/>.
    /// </summary>
    /// <exception cref="ContextLostException">It was.</exception>
    internal void ThrowIfLost(Exception? meanwhile = null)
    {
        if (_lost is null && _resetStatus != null)
        {
            _lost = (GLEnum)_resetStatus() switch
            {
                GLEnum.NoError => null,
                GLEnum.GuiltyContextReset => "what was drawn here made its driver reset it",
                GLEnum.InnocentContextReset => "its driver reset it for what another program drew",
                _ => "its driver reset it",
            };
        }

        if (_lost is not null)
        {
            throw LostError(_lost, meanwhile);
        }
    }

    /// <summary>Remembers that the context is lost; what to throw.</summary>
    private protected ContextLostException LostError(string why, Exception? meanwhile = null)
    {
        _lost = why;
        return new ContextLostException($"the context of \"{Renderer}\" was lost: {why}", meanwhile);
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

    // Core since 4.5; on older versions an extension, of which the newer has the same name.
    private nint ResetStatus(GL gl) =>
        Version >= 45 || gl.IsExtensionPresent("GL_KHR_robustness") ? Address("glGetGraphicsResetStatus")
        : gl.IsExtensionPresent("GL_ARB_robustness") ? Address("glGetGraphicsResetStatusARB")
        : 0;
}
