using System.Runtime.InteropServices;
using Silk.NET.OpenGL;

namespace StageView.Render.Resources;

/// <summary>A buffer that is filled anew each frame.</summary>
internal sealed unsafe class GpuBuffer(GL gl, BufferTargetARB target) : IDisposable
{
    private nuint _capacity;

    public uint Id { get; } = gl.GenBuffer();

    public void Bind() => gl.BindBuffer(target, Id);

    public void Fill<T>(ReadOnlySpan<T> data)
        where T : unmanaged
    {
        Bind();
        var bytes = (nuint)(data.Length * sizeof(T));
        if (bytes > _capacity || _capacity == 0)
        {
            _capacity = nuint.Max(256, bytes + (bytes / 2));
        }

        // Asking for the storage again lets the driver hand out fresh memory while the old is still read.
        gl.BufferData(target, _capacity, null, BufferUsageARB.StreamDraw);
        if (bytes > 0)
        {
            fixed (T* p = &MemoryMarshal.GetReference(data))
            {
                gl.BufferSubData(target, 0, bytes, p);
            }
        }
    }

    /// <summary>Makes it hold this many bytes at least, for shaders to write; what it held may be lost.</summary>
    public void Reserve(int bytes)
    {
        if ((nuint)bytes > _capacity || _capacity == 0)
        {
            _capacity = nuint.Max(256, (nuint)bytes + ((nuint)bytes / 2));
            Bind();
            gl.BufferData(target, _capacity, null, BufferUsageARB.DynamicCopy);
        }
    }

    public void Dispose() => gl.DeleteBuffer(Id);
}
