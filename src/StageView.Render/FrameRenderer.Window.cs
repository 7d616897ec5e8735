using Silk.NET.OpenGL;
using StageView.Light.Interreflection;
using StageView.Light.Moments;
using StageView.Render.Contexts;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Render;

/// <summary>Pictures straight into a window, without a way over the processor's memory.</summary>
public sealed partial class FrameRenderer
{
    /// <summary>Words that lie over the bottom of the window, opaque; null for none. They are seen with the next picture or <see cref="ShowAgain"/>.</summary>
    public PixelImage? Strip { get; set; }

    /// <summary>Shows the last picture once more, with the strip as it is now; nothing before the first one.</summary>
    /// <exception cref="ContextLostException">The context was lost.</exception>
    public void ShowAgain() => InWindow((gl, window, w, h) =>
    {
        if (_screenBuffer is not null)
        {
            Put(gl, w, h);
            window.Swap();
        }
    });

    /// <summary>Shows words in the middle of the window, instead of a picture.</summary>
    /// <exception cref="ContextLostException">The context was lost.</exception>
    public void ShowWords(PixelImage words) => InWindow((gl, window, w, h) =>
    {
        gl.BindFramebuffer(FramebufferTarget.Framebuffer, 0);
        gl.ClearColor(0, 0, 0, 1);
        gl.Clear(ClearBufferMask.ColorBufferBit);
        gl.ClearColor(0, 0, 0, 0);
        Lay(gl, words, Math.Max(0, (w - words.Width) / 2), Math.Max(0, (h - words.Height) / 2));
        window.Swap();
    });

    /// <summary>Draws the moment and shows it in the window that is this renderer's context; waits for the screen's refresh.</summary>
    /// <param name="width">Size drawn at, pixels; stretched over the window.</param>
    /// <param name="height">Size drawn at, pixels.</param>
    /// <param name="workLightLux">Even work light, lx.</param>
    /// <param name="marker">A level shown as eight cells along the top left corner, or -1 for none.</param>
    /// <param name="quality">How finely the haze is worked out; a draft on a rasteriser on the CPU is <see cref="RenderSettings.Coarse"/>, too.</param>
    /// <param name="finish">Also wait until the picture stands in the window's buffer.</param>
    /// <param name="indirect">What matt surfaces throw on each other, or null.</param>
    /// <param name="overtaken">See <see cref="RenderSettings.Overtaken"/>; the window keeps the picture before.</param>
    /// <exception cref="InvalidOperationException">The context is no window.</exception>
    /// <exception cref="ContextLostException">The context was lost before the picture was done.</exception>
    /// <exception cref="PictureOvertakenException">It was given up.</exception>
    public void Show(Moment moment, Camera camera, int width, int height, float workLightLux = 0, int marker = -1, RenderQuality quality = RenderQuality.Normal,
        bool finish = false, MattLight? indirect = null, Func<bool>? overtaken = null)
    {
        ArgumentNullException.ThrowIfNull(moment);
        ArgumentNullException.ThrowIfNull(camera);
        InWindow((gl, window, w, h) =>
        {
            var settings = new RenderSettings
            {
                Width = Math.Clamp(width, 16, 8192), Height = Math.Clamp(height, 16, 8192), Screen = false, WorkLightLux = workLightLux, Quality = quality,
                Coarse = quality == RenderQuality.Draft && _context.IsSoftware,
                Overtaken = overtaken,
                Indirect = indirect,
            };
            Make(camera, settings, () => Scene(moment, camera, settings));
            _composite.Draw(ThroughLens(camera), _screenBuffer!, ToneCurve.Of(camera));
            Put(gl, w, h);
            if (marker >= 0)
            {
                Mark(gl, w, h, marker);
            }

            if (finish)
            {
                gl.Finish();
            }

            window.Swap();
        });
    }

    private void InWindow(Action<GL, ScreenWindow, int, int> draw)
    {
        if (_context is not ScreenWindow window)
        {
            throw new InvalidOperationException("only a window can show pictures");
        }

        lock (_one)
        {
            _context.Enter();
            try
            {
                var (w, h) = window.Pixels;
                if (w == 0 || h == 0)
                {
                    return;
                }

                draw(_context.Gl, window, w, h);
                _context.ThrowIfLost();
            }
            catch (Exception e) when (e is not (ContextLostException or PictureOvertakenException))
            {
                _context.ThrowIfLost(e);
                throw;
            }
            finally
            {
                _context.Leave();
            }
        }
    }

    /// <summary>The finished picture over the whole window, the strip over its bottom.</summary>
    private void Put(GL gl, int w, int h)
    {
        gl.BindFramebuffer(FramebufferTarget.ReadFramebuffer, _screenBuffer!.Id);
        gl.BindFramebuffer(FramebufferTarget.DrawFramebuffer, 0);
        gl.BlitFramebuffer(0, 0, _screen!.Width, _screen.Height, 0, 0, w, h, ClearBufferMask.ColorBufferBit, BlitFramebufferFilter.Linear);
        gl.BindFramebuffer(FramebufferTarget.Framebuffer, 0);
        if (Strip is { } strip)
        {
            Lay(gl, strip, 0, 0);
        }
    }

    /// <summary>Lays an image, whose rows go from its top, over the window, its lower left corner at a place counted from the window's.</summary>
    private static unsafe void Lay(GL gl, PixelImage image, int x, int y)
    {
        var (texture, buffer) = (gl.GenTexture(), gl.GenFramebuffer());
        gl.BindTexture(TextureTarget.Texture2D, texture);
        fixed (byte* pixels = image.Rgba)
        {
            gl.TexImage2D(TextureTarget.Texture2D, 0, InternalFormat.Rgba8, (uint)image.Width, (uint)image.Height, 0, PixelFormat.Rgba,
                PixelType.UnsignedByte, pixels);
        }

        gl.BindTexture(TextureTarget.Texture2D, 0);
        gl.BindFramebuffer(FramebufferTarget.ReadFramebuffer, buffer);
        gl.FramebufferTexture2D(FramebufferTarget.ReadFramebuffer, FramebufferAttachment.ColorAttachment0, TextureTarget.Texture2D, texture, 0);
        gl.BindFramebuffer(FramebufferTarget.DrawFramebuffer, 0);
        gl.BlitFramebuffer(0, image.Height, image.Width, 0, x, y, x + image.Width, y + image.Height, ClearBufferMask.ColorBufferBit,
            BlitFramebufferFilter.Nearest);
        gl.BindFramebuffer(FramebufferTarget.Framebuffer, 0);
        gl.DeleteFramebuffer(buffer);
        gl.DeleteTexture(texture);
    }

    private static void Mark(GL gl, int width, int height, int level)
    {
        var cell = (uint)Math.Max(2, width / 64);
        gl.Enable(EnableCap.ScissorTest);
        for (var bit = 0; bit < 8; bit++)
        {
            var light = (level >> (7 - bit)) & 1;
            gl.ClearColor(light, light, light, 1);
            gl.Scissor((int)(bit * cell), height - (int)cell, cell, cell);
            gl.Clear(ClearBufferMask.ColorBufferBit);
        }

        gl.Disable(EnableCap.ScissorTest);
        gl.ClearColor(0, 0, 0, 0);
    }
}
