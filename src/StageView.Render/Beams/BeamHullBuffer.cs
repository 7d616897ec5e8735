using Silk.NET.OpenGL;
using StageView.Render.Layout;
using StageView.Render.Resources;

namespace StageView.Render.Beams;

/// <summary>Hulls of one view on the GPU, drawn a kind at a time by the passes that add the beams' light.</summary>
internal sealed unsafe class BeamHullBuffer : IDisposable
{
    /// <summary>Corners at a time where parts are waited for: two hulls or so, since one that fills the picture is a part large enough.</summary>
    private const int Part = 144;

    private readonly GL _gl;
    private readonly GpuBuffer _corners;
    private readonly GpuBuffer _indices;
    private readonly uint _array;
    private readonly Growing<uint> _all = new();
    private readonly (int First, int Count)[] _runs = new (int, int)[BeamHulls.Kinds * BeamHulls.Lists];

    public BeamHullBuffer(GL gl)
    {
        _gl = gl;
        _corners = new GpuBuffer(gl, BufferTargetARB.ArrayBuffer);
        _indices = new GpuBuffer(gl, BufferTargetARB.ElementArrayBuffer);
        _array = gl.GenVertexArray();
    }

    public void Fill(BeamHulls hulls)
    {
        _all.Clear();
        for (var i = 0; i < _runs.Length; i++)
        {
            _runs[i] = (_all.Count, hulls.Indices[i].Count);
            _all.Add(hulls.Indices[i].Span);
        }

        _gl.BindVertexArray(_array);
        _corners.Fill<HullCorner>(hulls.Corners.Span);
        _indices.Fill<uint>(_all.Span);
        _gl.EnableVertexAttribArray(0);
        _gl.VertexAttribPointer(0, 4, VertexAttribPointerType.Float, false, (uint)sizeof(HullCorner), (void*)0);
    }

    public bool Has(int kind, bool inside) => _runs[kind + (inside ? BeamHulls.Kinds : 0)].Count > 0;

    public bool HasThin() => Array.Exists(_runs[(2 * BeamHulls.Kinds)..(3 * BeamHulls.Kinds)], run => run.Count > 0);

    public bool HasThin(int kind) => _runs[kind + (2 * BeamHulls.Kinds)].Count > 0;

    public void Draw(int kind, bool inside) => Draw(_runs[kind + (inside ? BeamHulls.Kinds : 0)]);

    /// <summary>Those that <see cref="BeamHulls"/> keeps apart; the eye is outside of them.</summary>
    public void DrawThin(int kind) => Draw(_runs[kind + (2 * BeamHulls.Kinds)]);

    /// <summary>The outlines in place of the sides that face the eye, where <see cref="BeamHulls"/> has them.</summary>
    public void DrawOutlines(int kind, bool thin) => Draw(_runs[kind + ((thin ? 4 : 3) * BeamHulls.Kinds)]);

    private void Draw((int First, int Count) run)
    {
        var (first, count) = run;
        if (count == 0)
        {
            return;
        }

        _gl.BindVertexArray(_array);
        var most = DrawingSteps.InParts ? Part : count;
        for (; count > 0; first += most, count -= most)
        {
            _gl.DrawElements(PrimitiveType.Triangles, (uint)Math.Min(most, count), DrawElementsType.UnsignedInt, (void*)(first * sizeof(uint)));
            DrawingSteps.Part(_gl);
        }
    }

    public void Dispose()
    {
        _corners.Dispose();
        _indices.Dispose();
        _gl.DeleteVertexArray(_array);
    }
}
