using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Measure;
using StageView.Light.Mirrors;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Cautions.Flashes;

/// <summary>
/// What an eye sees of a moment, as the mean luminance of each cell of its field: lit surfaces (matt, by their albedo), lenses that shine at it direct and in
/// mirrors, pixel surfaces and globes, and the light that haze scatters towards it.
/// </summary>
/// <remarks>
/// Lenses, pixels and globes put the light they send to the eye into the cells they lie in, so none is too small to be seen; lit surfaces and haze are read
/// along rays through the middles of groups of cells. Haze is read without shadows, on the bright side. Left out: light
/// between matt surfaces, lasers' rays in haze, pixel surfaces in mirrors.
/// </remarks>
public sealed class FieldSampler
{
    private const float Far = 200;

    /// <summary>Mirrors that a look may meet.</summary>
    private const int MostMirrors = 2;

    private readonly FieldGrid _grid;
    private readonly int _group;
    private readonly bool _haze;

    /// <param name="grid">An eye's field.</param>
    /// <param name="group">Lit surfaces and haze are read once for so many cells across and down.</param>
    /// <param name="haze">Whether light in haze counts.</param>
    public FieldSampler(FieldGrid grid, int group = 2, bool haze = true)
    {
        ArgumentNullException.ThrowIfNull(grid);
        ArgumentOutOfRangeException.ThrowIfLessThan(group, 1);
        if (grid.Directions.IsEmpty)
        {
            throw new ArgumentException("a picture has no directions: take an eye's field", nameof(grid));
        }

        (_grid, _group, _haze) = (grid, group, haze);
    }

    public FieldGrid Grid => _grid;

    /// <summary>Mean luminance of each cell, linear Rec.709 in cd/m².</summary>
    /// <param name="meter">The moment.</param>
    /// <param name="scene">What is looked at and stands in the way.</param>
    /// <param name="eye">m.</param>
    /// <param name="forward">Where it looks.</param>
    /// <param name="up">Which way is up, not along <paramref name="forward"/>.</param>
    /// <param name="cells">One a cell.</param>
    public void Sample(LightMeter meter, OcclusionScene scene, Vector3 eye, Vector3 forward, Vector3 up, Span<Vector3> cells)
    {
        ArgumentNullException.ThrowIfNull(meter);
        ArgumentNullException.ThrowIfNull(scene);
        if (cells.Length != _grid.Cells)
        {
            throw new ArgumentException($"room for {cells.Length} luminances, the field has {_grid.Cells} cells", nameof(cells));
        }

        cells.Clear();
        var ahead = Vector3.Normalize(forward);
        var right = Vector3.Normalize(Vector3.Cross(ahead, up));
        var frame = new Frame(eye, ahead, right, Vector3.Cross(right, ahead));
        Surfaces(meter, scene, frame, cells);
        Lenses(meter, frame, cells);
        Pixels(meter, scene, frame, cells);
    }

    private void Surfaces(LightMeter meter, OcclusionScene scene, in Frame frame, Span<Vector3> cells)
    {
        for (var r = 0; r < _grid.Rows; r += _group)
        {
            for (var c = 0; c < _grid.Columns; c += _group)
            {
                var (r1, c1) = (Math.Min(r + _group, _grid.Rows), Math.Min(c + _group, _grid.Columns));
                var direction = frame.ToWorld(_grid.Directions[(((r + r1 - 1) / 2) * _grid.Columns) + ((c + c1 - 1) / 2)]);
                var seen = Along(meter, scene, frame.Eye, direction);
                for (var y = r; y < r1; y++)
                {
                    for (var x = c; x < c1; x++)
                    {
                        cells[(y * _grid.Columns) + x] += seen;
                    }
                }
            }
        }
    }

    private Vector3 Along(LightMeter meter, OcclusionScene scene, Vector3 from, Vector3 direction)
    {
        var moment = meter.Moment;
        var (seen, left, path, mirror) = (Vector3.Zero, 1f, 0f, MirrorIndex.None);
        for (var bounce = 0; bounce <= MostMirrors; bounce++)
        {
            var met = scene.Closest(from, direction, Far, FixtureIndex.None, mirror, out var hit);
            var far = met ? hit.Distance : Far;
            if (_haze && moment.Haze.ScatteringPerMetre > 0)
            {
                seen += HazeGlow.Along(moment, from, direction, far) * (left * meter.HazeOver(path));
            }

            path += far;
            if (!met)
            {
                return seen;
            }

            if (hit.Mirror.IsNone)
            {
                var albedo = !hit.Instance.IsNone ? moment[hit.Instance].Albedo : Vector3.Zero;
                return seen + (meter.At(hit.Point, hit.Normal).Rgb * albedo * (left / MathF.PI * meter.HazeOver(path)));
            }

            var face = moment[hit.Mirror];
            var cos = -Vector3.Dot(direction, face.Normal);
            if (cos <= 0)
            {
                return seen;
            }

            left *= (float)MirrorOptics.Shares(face, cos).Total;
            (from, direction, mirror) = (hit.Point, Vector3.Normalize(Vector3.Reflect(direction, face.Normal)), hit.Mirror);
        }

        return seen;
    }

    /// <summary>The illuminance a lens gives the eye is its luminance times its solid angle; spread over its cell, that is the cell's mean.</summary>
    private void Lenses(LightMeter meter, in Frame frame, Span<Vector3> cells)
    {
        for (var i = 0; i < meter.Moment.Beams.Length; i++)
        {
            var facing = meter.Facing(new BeamIndex(i), frame.Eye, Vector3.Zero, out var towards);
            if (facing != Vector3.Zero)
            {
                Put(frame, towards, facing, cells);
            }
        }
    }

    private void Pixels(LightMeter meter, OcclusionScene scene, in Frame frame, Span<Vector3> cells)
    {
        var surfaces = meter.Moment.PixelSurfaces.Span;
        var cell = MathF.Sqrt(_grid.Areas[_grid.Cells / 2]);
        for (var i = 0; i < meter.Sums.Length; i++)
        {
            if (meter.Sums[i] is not { } sums)
            {
                continue;
            }

            ref readonly var s = ref surfaces[i];
            if (s.Shape == PixelShape.Globe)
            {
                Globe(meter, scene, frame, s, sums, cell / 3, cells);
                continue;
            }

            var seen = new SeenSurface(meter, scene, s, sums, frame.Eye);
            if (!seen.FacesEye)
            {
                continue;
            }

            if (MathF.Min(seen.LengthU, seen.LengthV) > 2 * cell * seen.Near)
            {
                seen.IntoCells(_grid, frame, cells);
            }
            else
            {
                seen.IntoCellsByBlocks(_grid, frame, cell / 4, cells);
            }
        }
    }

    private void Globe(LightMeter meter, OcclusionScene scene, in Frame frame, in PixelSurface globe, SurfaceSums sums, float fine, Span<Vector3> cells)
    {
        var to = globe.Origin - frame.Eye;
        var (distance, radius) = (to.Length(), globe.EdgeU.Length() / 2);
        var towards = to / distance;
        if (distance <= radius || scene.Blocked(frame.Eye, frame.Eye + (towards * (distance - radius)), exceptFixture: globe.Fixture))
        {
            return;
        }

        // Its disc by rings of equal area, each in as many parts.
        var lux = sums.Mean(0, globe.Columns, 0, globe.Rows) * (MathF.PI * radius * radius / (distance * distance) * meter.HazeOver(distance - radius));
        var n = Math.Clamp((int)MathF.Ceiling(2 * radius / (distance * fine)), 1, 24);
        var side = Vector3.Normalize(Vector3.Cross(towards, MathF.Abs(towards.Z) > 0.9f ? Vector3.UnitX : Vector3.UnitZ));
        var over = Vector3.Cross(side, towards);
        for (var ring = 0; ring < n; ring++)
        {
            for (var part = 0; part < 3 * n; part++)
            {
                var (sin, cos) = MathF.SinCos((part + (ring * 0.5f)) * MathF.Tau / (3 * n));
                var off = radius * MathF.Sqrt((ring + 0.5f) / n) / distance;
                Put(frame, Vector3.Normalize(towards + (((side * cos) + (over * sin)) * off)), lux / (3 * n * n), cells);
            }
        }
    }

    private void Put(in Frame frame, Vector3 towards, Vector3 lux, Span<Vector3> cells)
    {
        var cell = _grid.CellOf(frame.ToEye(towards));
        if (cell >= 0)
        {
            cells[cell] += lux / _grid.Areas[cell];
        }
    }

    /// <summary>An eye: where it is, and its own axes.</summary>
    internal readonly record struct Frame(Vector3 Eye, Vector3 Ahead, Vector3 Right, Vector3 Up)
    {
        public Vector3 ToWorld(Vector3 d) => (Right * d.X) + (Up * d.Y) + (Ahead * d.Z);

        public Vector3 ToEye(Vector3 d) => new(Vector3.Dot(d, Right), Vector3.Dot(d, Up), Vector3.Dot(d, Ahead));
    }
}
