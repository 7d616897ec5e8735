using System.Numerics;
using System.Runtime.InteropServices;
using Silk.NET.OpenGL;
using StageView.Light.Moments;
using StageView.Render.Resources;

namespace StageView.Render.Scenery;

/// <summary>All meshes of a rig in one vertex and one index buffer; filled again only when the rig's list of meshes is another.</summary>
internal sealed unsafe class MeshStore : IDisposable
{
    private readonly GL _gl;
    private readonly GpuBuffer _vertices;
    private readonly GpuBuffer _indices;
    private IReadOnlyList<SceneMesh>? _held;
    private int _heldCount;
    private Part[] _parts = [];

    public MeshStore(GL gl)
    {
        _gl = gl;
        _vertices = new GpuBuffer(gl, BufferTargetARB.ArrayBuffer);
        _indices = new GpuBuffer(gl, BufferTargetARB.ElementArrayBuffer);
        Paint = new PaintStore(gl);
    }

    /// <summary>The meshes' pictures.</summary>
    public PaintStore Paint { get; }

    public uint VertexBuffer => _vertices.Id;

    public uint IndexBuffer => _indices.Id;

    /// <summary>Counts up with each refill; caches drawn from these meshes compare it.</summary>
    public int Generation { get; private set; }

    public Part this[int mesh] => _parts[mesh];

    public int Count => _parts.Length;

    public void Hold(IReadOnlyList<SceneMesh> meshes)
    {
        if (ReferenceEquals(meshes, _held) && meshes.Count == _heldCount)
        {
            return;
        }

        (_held, _heldCount) = (meshes, meshes.Count);
        Generation++;
        _parts = new Part[meshes.Count];
        var corners = new List<Corner>();
        var indices = new List<uint>();
        for (var i = 0; i < meshes.Count; i++)
        {
            var m = meshes[i];
            var (firstIndex, firstCorner) = (indices.Count, corners.Count);
            for (var k = 0; k < m.Positions.Length; k++)
            {
                corners.Add(new Corner(m.Positions[k], k < m.Normals.Length ? m.Normals[k] : Vector3.UnitZ));
            }

            foreach (var index in m.Indices)
            {
                indices.Add((uint)index);
            }

            var bounds = MeshBounds.Of(m);
            _parts[i] = new Part(firstIndex, m.Indices.Length, firstCorner, bounds, MeshClusters.Of(m, bounds, indices));
        }

        _gl.BindVertexArray(0);
        _vertices.Fill<Corner>(CollectionsMarshal.AsSpan(corners));
        _indices.Fill<uint>(CollectionsMarshal.AsSpan(indices));
        Paint.Hold(meshes);
    }

    /// <summary>Binds corners to attributes 0 (place) and 1 (normal) of the bound vertex array.</summary>
    public void Attach()
    {
        _vertices.Bind();
        _indices.Bind();
        _gl.EnableVertexAttribArray(0);
        _gl.VertexAttribPointer(0, 3, VertexAttribPointerType.Float, false, (uint)sizeof(Corner), (void*)0);
        _gl.EnableVertexAttribArray(1);
        _gl.VertexAttribPointer(1, 3, VertexAttribPointerType.Float, false, (uint)sizeof(Corner), (void*)sizeof(Vector3));
    }

    public void Dispose()
    {
        Paint.Dispose();
        _vertices.Dispose();
        _indices.Dispose();
    }

    /// <param name="FirstIndex">Where its indices begin.</param>
    /// <param name="IndexCount">How many there are.</param>
    /// <param name="FirstVertex">Its first corner.</param>
    /// <param name="Bounds">Its box.</param>
    /// <param name="Runs">The same triangles in runs that lie close together; empty for a small mesh.</param>
    public readonly record struct Part(int FirstIndex, int IndexCount, int FirstVertex, MeshBounds Bounds, MeshClusters.Run[] Runs);

    private readonly record struct Corner(Vector3 Place, Vector3 Normal);
}
