using Silk.NET.OpenGL;
using StageView.Render.Contexts;

namespace StageView.Render.Resources;

/// <summary>Textures drawn into together.</summary>
internal sealed class FrameTarget : IDisposable
{
    private readonly GL _gl;

    public FrameTarget(GL gl, GpuTexture? depth, params ReadOnlySpan<GpuTexture> colours)
    {
        _gl = gl;
        Id = gl.GenFramebuffer();
        gl.BindFramebuffer(FramebufferTarget.Framebuffer, Id);
        Span<GLEnum> targets = stackalloc GLEnum[colours.Length];
        for (var i = 0; i < colours.Length; i++)
        {
            targets[i] = GLEnum.ColorAttachment0 + i;
            gl.FramebufferTexture2D(FramebufferTarget.Framebuffer, FramebufferAttachment.ColorAttachment0 + i, TextureTarget.Texture2D, colours[i].Id, 0);
        }

        if (depth is not null)
        {
            gl.FramebufferTexture2D(FramebufferTarget.Framebuffer, FramebufferAttachment.DepthAttachment, TextureTarget.Texture2D, depth.Id, 0);
        }

        if (colours.Length == 0)
        {
            gl.DrawBuffer(DrawBufferMode.None);
            gl.ReadBuffer(ReadBufferMode.None);
        }
        else
        {
            gl.DrawBuffers((uint)colours.Length, targets);
        }

        var status = gl.CheckFramebufferStatus(FramebufferTarget.Framebuffer);
        if (status != GLEnum.FramebufferComplete)
        {
            throw new MachineCannotException($"the driver can't draw into the wanted textures ({status})");
        }
    }

    public uint Id { get; }

    public void Bind() => _gl.BindFramebuffer(FramebufferTarget.Framebuffer, Id);

    public void Dispose() => _gl.DeleteFramebuffer(Id);
}
