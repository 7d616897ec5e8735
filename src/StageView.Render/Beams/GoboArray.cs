using Silk.NET.OpenGL;
using StageView.Light.Moments;
using StageView.Render.Resources;

namespace StageView.Render.Beams;

/// <summary>All gobo images of a rig in one array texture with mip levels, brought to one size. Filled when the rig's list changes.</summary>
internal sealed unsafe class GoboArray(GL gl) : IDisposable
{
    private const int Largest = 1024;
    private IReadOnlyList<GoboImage> _held = [];
    private int _side;
    private uint _texture;

    public void Hold(IReadOnlyList<GoboImage> images)
    {
        if (ReferenceEquals(images, _held) || images.Count == 0)
        {
            return;
        }

        var side = 64;
        foreach (var image in images)
        {
            while (side < image.Size && side < Largest)
            {
                side *= 2;
            }
        }

        if (_texture == 0)
        {
            _texture = gl.GenTexture();
        }

        gl.ActiveTexture(TextureUnit.Texture31);
        gl.BindTexture(TextureTarget.Texture2DArray, _texture);
        var anew = side != _side || images.Count != _held.Count;
        if (anew)
        {
            gl.TexImage3D(TextureTarget.Texture2DArray, 0, InternalFormat.Rgba8, (uint)side, (uint)side, (uint)images.Count, 0, PixelFormat.Rgba,
                PixelType.UnsignedByte, null);
        }

        var layer = new byte[side * side * 4];
        for (var i = 0; i < images.Count; i++)
        {
            // A picture that is thrown changes often, gobos never.
            if (!anew && (ReferenceEquals(images[i], _held[i]) || (images[i].Size == _held[i].Size && images[i].Rgb.AsSpan().SequenceEqual(_held[i].Rgb))))
            {
                continue;
            }

            Resample(images[i], side, layer);
            fixed (byte* p = layer)
            {
                gl.TexSubImage3D(TextureTarget.Texture2DArray, 0, 0, 0, i, (uint)side, (uint)side, 1, PixelFormat.Rgba, PixelType.UnsignedByte, p);
            }
        }

        (_held, _side) = (images, side);
        gl.GenerateMipmap(TextureTarget.Texture2DArray);
        gl.TexParameter(TextureTarget.Texture2DArray, TextureParameterName.TextureMinFilter, (int)GLEnum.LinearMipmapLinear);
        gl.TexParameter(TextureTarget.Texture2DArray, TextureParameterName.TextureMagFilter, (int)GLEnum.Linear);
        gl.TexParameter(TextureTarget.Texture2DArray, TextureParameterName.TextureWrapS, (int)GLEnum.ClampToEdge);
        gl.TexParameter(TextureTarget.Texture2DArray, TextureParameterName.TextureWrapT, (int)GLEnum.ClampToEdge);
    }

    public void Bind()
    {
        if (_texture != 0)
        {
            gl.ActiveTexture(TextureUnit.Texture0 + Slots.GoboImages);
            gl.BindTexture(TextureTarget.Texture2DArray, _texture);
        }
    }

    public void Dispose()
    {
        if (_texture != 0)
        {
            gl.DeleteTexture(_texture);
        }
    }

    private static void Resample(GoboImage image, int side, byte[] layer)
    {
        var scale = (float)image.Size / side;
        for (var y = 0; y < side; y++)
        {
            for (var x = 0; x < side; x++)
            {
                var at = ((y * side) + x) * 4;
                var (fx, fy) = (((x + 0.5f) * scale) - 0.5f, ((y + 0.5f) * scale) - 0.5f);
                var (x0, y0) = ((int)MathF.Floor(fx), (int)MathF.Floor(fy));
                var (u, v) = (fx - x0, fy - y0);
                for (var c = 0; c < 3; c++)
                {
                    var top = float.Lerp(Texel(image, x0, y0, c), Texel(image, x0 + 1, y0, c), u);
                    var low = float.Lerp(Texel(image, x0, y0 + 1, c), Texel(image, x0 + 1, y0 + 1, c), u);
                    layer[at + c] = (byte)(float.Lerp(top, low, v) + 0.5f);
                }

                layer[at + 3] = 255;
            }
        }
    }

    private static float Texel(GoboImage image, int x, int y, int channel) =>
        image.Rgb[(((Math.Clamp(y, 0, image.Size - 1) * image.Size) + Math.Clamp(x, 0, image.Size - 1)) * 3) + channel];
}
