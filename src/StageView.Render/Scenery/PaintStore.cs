using System.Numerics;
using Silk.NET.OpenGL;
using StageView.Light.Moments;
using StageView.Render.Resources;

namespace StageView.Render.Scenery;

/// <summary>Pictures of meshes: an array texture each, and where each vertex lies on them. Empty while no mesh has any.</summary>
internal sealed unsafe class PaintStore : IDisposable
{
    private readonly GL _gl;
    private readonly GpuBuffer _places;
    private readonly Dictionary<int, (uint Texture, Vector3 Scale)> _painted = [];

    public PaintStore(GL gl)
    {
        _gl = gl;
        _places = new GpuBuffer(gl, BufferTargetARB.ArrayBuffer);
    }

    public void Hold(IReadOnlyList<SceneMesh> meshes)
    {
        Empty();
        if (meshes.All(m => m.Paint is null))
        {
            return;
        }

        var places = new List<Vector3>();
        for (var i = 0; i < meshes.Count; i++)
        {
            var m = meshes[i];
            places.AddRange(m.Paint?.At ?? new Vector3[m.Positions.Length]);
            if (m.Paint is { } paint)
            {
                _painted[i] = (Texture(paint), Vector3.One / Vector3.Max(paint.Mean, new Vector3(1e-4f)));
            }
        }

        _gl.BindVertexArray(0);
        _places.Fill<Vector3>(places.ToArray());
    }

    /// <summary>Binds the vertices' places on their pictures to attribute 6 of the bound vertex array.</summary>
    public void Attach()
    {
        if (_painted.Count == 0)
        {
            _gl.DisableVertexAttribArray(6);
            return;
        }

        _places.Bind();
        _gl.EnableVertexAttribArray(6);
        _gl.VertexAttribPointer(6, 3, VertexAttribPointerType.Float, false, (uint)sizeof(Vector3), (void*)0);
    }

    /// <summary>Binds a mesh's pictures; no where it has none.</summary>
    /// <param name="mesh">Its place in the list.</param>
    /// <param name="scale">What the pictures are multiplied by so that their mean over the mesh is 1.</param>
    public bool Bind(int mesh, out Vector3 scale)
    {
        if (!_painted.TryGetValue(mesh, out var found))
        {
            scale = Vector3.One;
            return false;
        }

        scale = found.Scale;
        _gl.ActiveTexture(TextureUnit.Texture0 + Slots.PaintImages);
        _gl.BindTexture(TextureTarget.Texture2DArray, found.Texture);
        return true;
    }

    public void Dispose()
    {
        Empty();
        _places.Dispose();
    }

    private void Empty()
    {
        foreach (var (texture, _) in _painted.Values)
        {
            _gl.DeleteTexture(texture);
        }

        _painted.Clear();
    }

    private uint Texture(MeshPaint paint)
    {
        var pixels = new byte[paint.Count * paint.Size * paint.Size * 4];
        for (var i = 0; i < pixels.Length / 4; i++)
        {
            paint.Rgb.AsSpan(3 * i, 3).CopyTo(pixels.AsSpan(4 * i));
            pixels[(4 * i) + 3] = 255;
        }

        var texture = _gl.GenTexture();
        _gl.ActiveTexture(TextureUnit.Texture31);
        _gl.BindTexture(TextureTarget.Texture2DArray, texture);
        fixed (byte* p = pixels)
        {
            _gl.TexImage3D(TextureTarget.Texture2DArray, 0, InternalFormat.Rgba8, (uint)paint.Size, (uint)paint.Size, (uint)paint.Count, 0, PixelFormat.Rgba,
                PixelType.UnsignedByte, p);
        }

        _gl.GenerateMipmap(TextureTarget.Texture2DArray);
        _gl.TexParameter(TextureTarget.Texture2DArray, TextureParameterName.TextureMinFilter, (int)GLEnum.LinearMipmapLinear);
        _gl.TexParameter(TextureTarget.Texture2DArray, TextureParameterName.TextureMagFilter, (int)GLEnum.Linear);
        _gl.TexParameter(TextureTarget.Texture2DArray, TextureParameterName.TextureWrapS, (int)GLEnum.Repeat);
        _gl.TexParameter(TextureTarget.Texture2DArray, TextureParameterName.TextureWrapT, (int)GLEnum.Repeat);
        return texture;
    }
}
