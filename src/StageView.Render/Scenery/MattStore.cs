using System.Numerics;
using System.Runtime.InteropServices;
using Silk.NET.OpenGL;
using StageView.Ground.Indices;
using StageView.Light.Interreflection;
using StageView.Light.Moments;
using StageView.Render.Layout;
using StageView.Render.Resources;

namespace StageView.Render.Scenery;

/// <summary>Light that matt surfaces throw on each other, as a table that the surfaces' shader looks up.</summary>
internal sealed class MattStore(GL gl) : IDisposable
{
    /// <summary>Rows that each grid begins with.</summary>
    private const int Head = 3;

    private readonly GpuTable _table = new(gl);
    private readonly Growing<Vector4> _rows = new();
    private MattLight? _light;
    private int[] _firsts = [];
    private bool _isNew;

    /// <summary>Whether there is any.</summary>
    public bool IsOn { get; private set; }

    /// <summary>Takes the light of a moment; asks nothing of OpenGL. That of a moment with other scenery is left out.</summary>
    public void Gather(Moment moment, MattLight? light)
    {
        IsOn = light is not null && light.Pieces == moment.Scenery.Length;
        if (!IsOn || ReferenceEquals(_light, light))
        {
            return;
        }

        (_light, _isNew) = (light, true);
        _firsts = new int[light!.Pieces];
        _rows.Clear();
        for (var i = 0; i < _firsts.Length; i++)
        {
            var scale = moment.Scenery.Span[i].Scale;
            if (light.GridOf(new InstanceIndex(i)) is not { } grid)
            {
                _firsts[i] = -1;
                continue;
            }

            _firsts[i] = _rows.Count;
            MemoryMarshal.Cast<Vector4, MattRows>(_rows.AddMany(Head))[0] = new MattRows
            {
                Low = grid.Low / scale, Columns = grid.Columns, Fineness = scale / grid.Cell, Across = grid.Rows,
                Turn = Vector3.One / scale, Layers = grid.Layers,
            };
            grid.Write(_rows.AddMany(grid.Columns * grid.Rows * grid.Layers * MattGrid.Ways));
        }
    }

    /// <summary>First row of a piece, or -1 for none.</summary>
    public int FirstOf(int piece) => IsOn ? _firsts[piece] : -1;

    public void Upload()
    {
        if (_isNew && IsOn)
        {
            _table.Fill<Vector4>(_rows.Span);
            _isNew = false;
        }
    }

    public void Bind() => _table.Bind(Slots.MattRows);

    public void Dispose() => _table.Dispose();
}
