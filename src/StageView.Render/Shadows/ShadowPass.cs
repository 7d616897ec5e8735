using System.Numerics;
using Silk.NET.OpenGL;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Render.Beams;
using StageView.Render.Layout;
using StageView.Render.Resources;
using StageView.Render.Scenery;
using StageView.Render.Stops;

namespace StageView.Render.Shadows;

/// <summary>
/// A depth tile in one atlas for each beam that something stands in, seen from its (image) apex. A tile is drawn again only when the
/// beam, what stands in it, or its place has changed.
/// </summary>
internal sealed class ShadowPass : IDisposable
{
    /// <summary>Of shadow.vert: the leg's two half-spaces and the tile's four sides.</summary>
    private const int ClipPlanes = 6;

    /// <summary>Nearer to a lens than this no shadow is sharp, m.</summary>
    private const float NearestShadow = 0.3f;

    private readonly GL _gl;
    private readonly MeshStore _meshes;
    private readonly int _side;
    private readonly ShadowDraws _draws;
    private readonly Growing<(int X, int Y, int Side)> _stale = new();
    private readonly Growing<int> _sides = new();
    private readonly Growing<(int X, int Y)> _places = new();
    private readonly Growing<ulong> _keys = new();
    private readonly Growing<ulong> _before = new();
    private readonly Growing<EmptyTileRows> _emptied = new();
    private readonly GpuTable _tiles;
    private readonly uint _array;
    private GpuProgram? _empty;
    private GpuTexture? _atlas;
    private FrameTarget? _target;

    /// <param name="gl">The context.</param>
    /// <param name="meshes">What casts.</param>
    /// <param name="side">Side of the atlas, pixels.</param>
    public ShadowPass(GL gl, MeshStore meshes, int side)
    {
        (_gl, _meshes, _side) = (gl, meshes, side);
        _draws = new ShadowDraws(gl, meshes);
        _tiles = new GpuTable(gl);
        _array = gl.GenVertexArray();
    }

    /// <summary>Tiles drawn anew in the last frame.</summary>
    public int Redrawn { get; private set; }

    public void Bind() => _atlas?.Bind(Slots.ShadowAtlas);

    /// <summary>Draws what has changed and tells the batch where the tiles lie.</summary>
    public void Draw(Moment moment, BeamBatch batch, BeamStops stops, int tileSide)
    {
        Redrawn = 0;
        _sides.Clear();
        _places.Clear();
        _keys.Clear();
        var ofLamps = SideOfLamps(batch, stops, tileSide);
        foreach (ref readonly var item in batch.Items.Span)
        {
            if (item.Shadowed)
            {
                _sides.Add(SideOf(stops.Shapes[item.Shape], tileSide, ofLamps));
                _places.Add((0, 0));
            }
        }

        if (_sides.Count == 0)
        {
            return;
        }

        ShadowTiles.Place(_sides.Span, _side, _places.Span);
        _draws.Clear();
        _stale.Clear();
        var tile = 0;
        foreach (ref readonly var item in batch.Items.Span)
        {
            if (item.Shadowed)
            {
                batch.SetShadow(item.Number, Tile(moment, stops.Shapes[item.Shape], stops, tile++));
            }
        }

        Redrawn = _stale.Count;

        // What the tiles hold is only known once all of them are drawn.
        _before.Clear();
        if (Redrawn > 0)
        {
            Redraw(stops.Occluders);
        }

        _before.Add(_keys.Span);
    }

    public void Dispose()
    {
        _draws.Dispose();
        _tiles.Dispose();
        _empty?.Dispose();
        _gl.DeleteVertexArray(_array);
        _target?.Dispose();
        _atlas?.Dispose();
    }

    private static int SideOf(in BeamShape shape, int side, int ofLamps) => shape.Beam.Profile.CutoffRadians switch
    {
        _ when shape.Use == ShapeUse.Part => shape.IsSide ? ofLamps : side / 4,
        < 0.12f => side / 2,
        < 0.35f => side,
        _ => side * 2,
    };

    /// <summary>Sides of lamps are many: they get a third of the atlas at most, so that spots keep theirs.</summary>
    private int SideOfLamps(BeamBatch batch, BeamStops stops, int side)
    {
        var count = 0L;
        foreach (ref readonly var item in batch.Items.Span)
        {
            count += item.Shadowed && stops.Shapes[item.Shape].IsSide ? 1 : 0;
        }

        while (side > 32 && 3 * count * side * side > (long)_side * _side)
        {
            side /= 2;
        }

        return side;
    }

    /// <summary>Empties the stale tiles and draws them.</summary>
    private void Redraw(Occluders occluders)
    {
        if (_atlas is null)
        {
            _atlas = new GpuTexture(_gl, InternalFormat.DepthComponent32f, _side, _side);
            _target = new FrameTarget(_gl, _atlas);
        }

        _target!.Bind();
        _gl.Disable(EnableCap.Blend);
        _gl.Disable(EnableCap.CullFace);
        _gl.Enable(EnableCap.DepthTest);
        _gl.DepthMask(true);
        _gl.Disable(EnableCap.ScissorTest);
        _gl.Viewport(0, 0, (uint)_side, (uint)_side);
        _gl.Disable(EnableCap.ClipDistance0);
        Empty();
        _gl.DepthFunc(DepthFunction.Less);
        for (var plane = 0; plane < ClipPlanes; plane++)
        {
            _gl.Enable(EnableCap.ClipDistance0 + plane);
        }

        _draws.Draw(occluders);
        for (var plane = 0; plane < ClipPlanes; plane++)
        {
            _gl.Disable(EnableCap.ClipDistance0 + plane);
        }
    }

    private void Empty()
    {
        _empty ??= new GpuProgram(_gl, "shadowempty.vert", "shadow.frag");
        _emptied.Clear();
        foreach (var (x, y, side) in _stale.Span)
        {
            _emptied.Add(new EmptyTileRows { Corner = new Vector2((2f * x / _side) - 1, (2f * y / _side) - 1), Side = 2f * side / _side });
        }

        _tiles.Fill<EmptyTileRows>(_emptied.Span);
        _empty.Use();
        _tiles.Bind(Slots.SourceRows);
        _gl.BindVertexArray(_array);
        _gl.DepthFunc(DepthFunction.Always);
        _gl.DrawArraysInstanced(PrimitiveType.TriangleStrip, 0, 4, (uint)_emptied.Count);
    }

    private ShadowPlace Tile(Moment moment, in BeamShape shape, BeamStops stops, int tile)
    {
        var beam = shape.Beam;
        var side = _sides.Span[tile];
        var (x, y) = _places.Span[tile];
        var right = Vector3.Cross(beam.Axis, beam.Up);
        var (low, high) = shape.IsSide ? (-Vector2.One, Vector2.One) : Extent(moment, shape, right);
        // Two texels of margin, so that filtering never reaches a neighbour.
        var margin = (high - low) * (3f / side);
        (low, high) = (low - margin, high + margin);
        var near = MathF.Max(0.02f, beam.StartDistance * 0.98f);
        const float far = BeamShape.Range * 1.5f;
        var size = high - low;
        var placed = new ShadowPlace
        {
            Tile = new Vector4(side / size.X / _side, side / size.Y / _side, (x - (low.X * side / size.X)) / _side, (y - (low.Y * side / size.Y)) / _side),
            DepthOffset = far / (far - near),
            DepthSlope = -far * near / (far - near),
            Texel = MathF.Max(size.X, size.Y) / side,
            Side = side / (float)_side,
        };

        var casters = stops.CastersOf(shape.Stop);
        var key = Key(moment, beam, casters, stops.Occluders, side, x, y);
        _keys.Add(key);
        if (tile < _before.Count && _before.Span[tile] == key)
        {
            return placed;
        }

        _stale.Add((x, y, side));
        var toTile = Projection(beam, right, low, high, near, far);
        var place = new Vector4(side, side, (2 * x) + side - _side, (2 * y) + side - _side) / _side;
        var leg = -1;
        Matrix4x4 unfolded = default;
        Vector4 front = default, back = default;
        foreach (var caster in casters)
        {
            if (caster.LegsBack != leg)
            {
                leg = caster.LegsBack;
                (unfolded, front, back) = Leg(moment, beam, leg, toTile);
            }

            _draws.Add(moment, stops.Occluders.Items[caster.Occluder], unfolded, place, front, back);
        }

        return placed;
    }

    /// <summary>Bounds of the lit directions in the plane at unit distance along the axis.</summary>
    private static (Vector2 Low, Vector2 High) Extent(Moment moment, in BeamShape shape, Vector3 right)
    {
        var beam = shape.Beam;
        var tan = Trig.Tan(MathF.Min(beam.Profile.CutoffRadians, 1.4f));
        if (beam.NearLength > 0)
        {
            // Seen from the lens's middle a beam is wider near it; before what stands in it nobody asks.
            var first = MathF.Max(NearestShadow, shape.Stop.ClearTo);
            tan *= NearField.Seeming(beam, first) / first;
        }

        var (low, high) = (new Vector2(-tan), new Vector2(tan));
        if (beam.Bounces == 0)
        {
            return (low, high);
        }

        var (windowLow, windowHigh, nearest) = (new Vector2(float.MaxValue), new Vector2(float.MinValue), float.MaxValue);
        foreach (var corner in moment.OutlineOf(beam.Clip))
        {
            var to = corner - beam.Apex;
            var along = Vector3.Dot(to, beam.Axis);
            if (along <= 0.01f * to.Length())
            {
                return (low, high);
            }

            var p = new Vector2(Vector3.Dot(to, right), Vector3.Dot(to, beam.Up)) / along;
            (windowLow, windowHigh) = (Vector2.Min(windowLow, p), Vector2.Max(windowHigh, p));
            nearest = MathF.Min(nearest, along);
        }

        // Past the window's edges, where part of the lens is seen.
        var wide = new Vector2(shape.SoftRadius / nearest);
        (windowLow, windowHigh) = (windowLow - wide, windowHigh + wide);

        (low, high) = (Vector2.Max(low, windowLow), Vector2.Min(high, windowHigh));
        return high.X - low.X > 1e-5f && high.Y - low.Y > 1e-5f ? (low, high) : (new Vector2(-tan), new Vector2(tan));
    }

    private static Matrix4x4 Projection(in Beam beam, Vector3 right, Vector2 low, Vector2 high, float near, float far)
    {
        var scale = new Vector2(2, 2) / (high - low);
        var shift = -(high + low) / (high - low);
        var x = (right * scale.X) + (beam.Axis * shift.X);
        var y = (beam.Up * scale.Y) + (beam.Axis * shift.Y);
        var a = (far + near) / (far - near);
        var b = -2 * far * near / (far - near);
        var e = beam.Apex;
        var z = beam.Axis;
        return new Matrix4x4(
            x.X, y.X, a * z.X, z.X,
            x.Y, y.Y, a * z.Y, z.Y,
            x.Z, y.Z, a * z.Z, z.Z,
            -Vector3.Dot(x, e), -Vector3.Dot(y, e), (-a * Vector3.Dot(z, e)) + b, -Vector3.Dot(z, e));
    }

    /// <summary>The leg that lies some mirrors back: to the tile as unfolded, and its half-spaces in the world.</summary>
    private static (Matrix4x4 ToTile, Vector4 Front, Vector4 Back) Leg(Moment moment, in Beam beam, int back, in Matrix4x4 toTile)
    {
        var leg = beam;
        var unfold = Matrix4x4.Identity;
        var end = new Vector4(0, 0, 0, 1);
        for (var i = 0; i < back; i++)
        {
            var plane = BeamStops.Unfolding(moment, leg);
            unfold = Matrix4x4.CreateReflection(plane) * unfold;
            ref readonly var to = ref moment[moment.LastMirrorOf(leg)];
            end = HalfSpace.Through(plane.Normal, moment.OutlineOf(to.Outline)[0]);
            leg = moment[leg.Parent];
        }

        var start = leg.Bounces > 0
            ? HalfSpace.Through(moment[moment.LastMirrorOf(leg)].Normal, moment.OutlineOf(leg.Clip)[0])
            : BeamShape.IsAllRound(leg.Profile) ? new Vector4(0, 0, 0, 1) : HalfSpace.Through(leg.Axis, leg.Apex + (leg.Axis * leg.StartDistance));
        return (unfold * toTile, start, end);
    }

    /// <summary>What a tile's picture depends on, as one number.</summary>
    private ulong Key(Moment moment, in Beam beam, ReadOnlySpan<BeamStops.Caster> casters, Occluders occluders, int side, int x, int y)
    {
        var hash = new Fnv();
        hash.Add(_meshes.Generation);
        hash.Add(side);
        hash.Add(x);
        hash.Add(y);
        hash.Add(beam.Apex);
        hash.Add(beam.Axis);
        hash.Add(beam.Up);
        hash.Add(beam.Profile.CutoffRadians);
        hash.Add(beam.StartDistance);
        hash.Add(beam.NearLength);
        hash.Add(beam.NearSharpness);
        foreach (var caster in casters)
        {
            ref readonly var item = ref occluders.Items[caster.Occluder];
            hash.Add(caster.LegsBack);
            hash.Add(item.Scenery.Value);
            hash.Add(item.Scenery.IsNone ? -1 : moment[item.Scenery].Mesh.Value);
            // The eight corners tell pose and scale.
            foreach (var corner in occluders.CornersOf(item))
            {
                hash.Add(corner);
            }
        }

        var leg = beam;
        while (leg.Bounces > 0)
        {
            foreach (var corner in moment.OutlineOf(leg.Clip))
            {
                hash.Add(corner);
            }

            leg = moment[leg.Parent];
            hash.Add(leg.Apex);
            hash.Add(leg.Axis);
        }

        return hash.Value;
    }
}
