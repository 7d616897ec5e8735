using System.Numerics;
using System.Runtime.CompilerServices;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Interreflection;

/// <summary>
/// The surface of one mesh at one scale, cut into patches: what lies in one cell of a grid over the mesh's box and faces the same of six ways. A sheet has
/// patches on both sides, a closed body outside alone, unless it is so large that people may be inside.
/// </summary>
internal sealed class PatchShape
{
    /// <summary>Ways a patch may face: -X, +X, -Y, +Y, -Z, +Z.</summary>
    public const int Ways = 6;

    /// <summary>A closed body at least so large each way is taken for a room, m: its inside counts, too.</summary>
    private const float RoomSize = 2;

    /// <summary>How far behind a surface its cell is looked up, m: surfaces lie on the edges of cells.</summary>
    private const float Behind = 1e-3f;

    private static readonly ConditionalWeakTable<SceneMesh, StrongBox<int>> Closed = [];
    private readonly Vector3 _low;
    private readonly Vector3 _cell;
    private readonly int[] _numbers;
    private readonly List<Part> _parts = [];

    /// <summary>Of a closed body's triangles the side that is no patch; null where both are.</summary>
    private readonly Vector3[]? _inwards;

    /// <param name="mesh">The mesh.</param>
    /// <param name="scale">Of its coordinates.</param>
    /// <param name="side">Length of a cell's sides at most, m.</param>
    public PatchShape(SceneMesh mesh, Vector3 scale, float side)
    {
        var box = MeshTree.Of(mesh).Bounds;
        var (a, b) = (box.Min * scale, box.Max * scale);
        (_low, var high) = (Vector3.Min(a, b), Vector3.Max(a, b));
        var size = Vector3.Max(high - _low, Vector3.Zero);
        (Columns, Rows, Layers) = (Cells(size.X, side), Cells(size.Y, side), Cells(size.Z, side));
        _cell = Vector3.Max(size, new Vector3(1e-6f)) / new Vector3(Columns, Rows, Layers);
        _numbers = new int[Columns * Rows * Layers * Ways];
        Array.Fill(_numbers, -1);
        var sense = Sense(mesh) * MathF.Sign(scale.X * scale.Y * scale.Z);
        var open = sense == 0 || MathF.Min(size.X, MathF.Min(size.Y, size.Z)) >= RoomSize;
        _inwards = open ? null : new Vector3[mesh.Indices.Length / 3];
        for (var i = 0; i + 2 < mesh.Indices.Length; i += 3)
        {
            var (p, q, r) = (mesh.Positions[mesh.Indices[i]] * scale, mesh.Positions[mesh.Indices[i + 1]] * scale, mesh.Positions[mesh.Indices[i + 2]] * scale);
            var n = Vector3.Cross(q - p, r - p);
            if (n.Length() < 1e-12f)
            {
                continue;
            }

            n = Vector3.Normalize(n) * (sense < 0 ? -1 : 1);
            Cut(p, q, r, n);
            if (_inwards is null)
            {
                Cut(p, q, r, -n);
            }
            else
            {
                _inwards[i / 3] = -n;
            }
        }

        foreach (var part in _parts)
        {
            part.Close();
        }

        Neighbours = Pairs();
    }

    /// <summary>Cells along X, 1 or more.</summary>
    public int Columns { get; }

    /// <summary>Cells along Y, 1 or more.</summary>
    public int Rows { get; }

    /// <summary>Cells along Z, 1 or more.</summary>
    public int Layers { get; }

    /// <summary>Corner of the grid, m, in the mesh's axes after scaling.</summary>
    public Vector3 Low => _low;

    /// <summary>Size of a cell, m.</summary>
    public Vector3 Cell => _cell;

    /// <summary>Patches.</summary>
    public int Count => _parts.Count;

    /// <summary>Places of the grid with their ways: number of the patch there, or -1; <see cref="Ways"/> for each cell, cells by X, then Y, then Z.</summary>
    public ReadOnlySpan<int> Numbers => _numbers;

    /// <summary>Patches side by side that face the same way.</summary>
    public IReadOnlyList<(int A, int B)> Neighbours { get; }

    /// <summary>Area of a patch, m².</summary>
    public double Area(int patch) => _parts[patch].Area;

    /// <summary>Whether a triangle seen from this side is the inside of a closed body.</summary>
    /// <param name="triangle">Of the mesh.</param>
    /// <param name="normal">Unit normal of the side.</param>
    public bool IsInside(int triangle, Vector3 normal) => _inwards is not null && Vector3.Dot(_inwards[triangle], normal) > 0;

    /// <summary>The patch at a place of a surface, or -1.</summary>
    /// <param name="place">m, in the mesh's axes after scaling.</param>
    /// <param name="normal">Unit normal of the side asked for.</param>
    public int Find(Vector3 place, Vector3 normal)
    {
        var c = (place - (normal * Behind) - _low) / _cell;
        var (x, y, z) = (Clamp(c.X, Columns), Clamp(c.Y, Rows), Clamp(c.Z, Layers));
        var way = Way(normal);
        var found = _numbers[Slot(x, y, z, way)];
        if (found >= 0)
        {
            return found;
        }

        // At the very edge of a cell rounding decides: the next cell, then any side of this one.
        for (var k = 0; k < 27 && found < 0; k++)
        {
            var (dx, dy, dz) = (x + (k % 3) - 1, y + (k / 3 % 3) - 1, z + (k / 9) - 1);
            found = (uint)dx < (uint)Columns && (uint)dy < (uint)Rows && (uint)dz < (uint)Layers ? _numbers[Slot(dx, dy, dz, way)] : -1;
        }

        for (var k = 0; k < Ways && found < 0; k++)
        {
            found = k == (way ^ 1) ? -1 : _numbers[Slot(x, y, z, k)];
        }

        return found;
    }

    /// <summary>A place on a patch, evenly spread for even shares.</summary>
    /// <param name="patch">Which.</param>
    /// <param name="a">0 to below 1.</param>
    /// <param name="b">0 to below 1.</param>
    /// <param name="normal">Unit normal there, on the patch's side.</param>
    public Vector3 Place(int patch, float a, float b, out Vector3 normal) => _parts[patch].Place(a, b, out normal);

    private static int Cells(float size, float side) => Math.Max(1, (int)MathF.Ceiling((size / side) - 1e-3f));

    private static int Clamp(float c, int count) => Math.Clamp((int)MathF.Floor(c), 0, count - 1);

    /// <remarks>Sides at 45 degrees must not be torn by rounding: the first axis that is nearly the longest.</remarks>
    private static int Way(Vector3 n)
    {
        var (x, y, z) = (MathF.Abs(n.X), MathF.Abs(n.Y), MathF.Abs(n.Z));
        var most = MathF.Max(x, MathF.Max(y, z)) - 1e-3f;
        return x >= most ? (n.X > 0 ? 1 : 0) : y >= most ? (n.Y > 0 ? 3 : 2) : n.Z > 0 ? 5 : 4;
    }

    private List<(int, int)> Pairs()
    {
        var pairs = new List<(int, int)>();
        for (var slot = 0; slot < _numbers.Length; slot++)
        {
            var (cell, way) = (slot / Ways, slot % Ways);
            var (x, y, z) = (cell % Columns, cell / Columns % Rows, cell / Columns / Rows);
            foreach (var (nx, ny, nz) in (ReadOnlySpan<(int, int, int)>)[(x + 1, y, z), (x, y + 1, z), (x, y, z + 1)])
            {
                if (_numbers[slot] >= 0 && nx < Columns && ny < Rows && nz < Layers && _numbers[Slot(nx, ny, nz, way)] is >= 0 and var other)
                {
                    pairs.Add((_numbers[slot], other));
                }
            }
        }

        return pairs;
    }

    private int Slot(int x, int y, int z, int way) => (((((z * Rows) + y) * Columns) + x) * Ways) + way;

    /// <summary>Hands each cell its piece of a triangle.</summary>
    private void Cut(Vector3 p, Vector3 q, Vector3 r, Vector3 normal)
    {
        var back = normal * Behind;
        Span<Vector3> all = [p - back, q - back, r - back];
        var low = (Vector3.Min(all[0], Vector3.Min(all[1], all[2])) - _low) / _cell;
        var high = (Vector3.Max(all[0], Vector3.Max(all[1], all[2])) - _low) / _cell;
        var way = Way(normal);
        Span<Vector3> inX = stackalloc Vector3[12], inY = stackalloc Vector3[12], inZ = stackalloc Vector3[12], spare = stackalloc Vector3[12];
        for (var x = Clamp(low.X, Columns); x <= Clamp(high.X, Columns); x++)
        {
            var countX = Slab(all, 0, x, Columns, inX, spare);
            for (var y = Clamp(low.Y, Rows); countX > 2 && y <= Clamp(high.Y, Rows); y++)
            {
                var countY = Slab(inX[..countX], 1, y, Rows, inY, spare);
                for (var z = Clamp(low.Z, Layers); countY > 2 && z <= Clamp(high.Z, Layers); z++)
                {
                    Add(Slot(x, y, z, way), inZ[..Slab(inY[..countY], 2, z, Layers, inZ, spare)], back, normal);
                }
            }
        }
    }

    private void Add(int slot, ReadOnlySpan<Vector3> corners, Vector3 back, Vector3 normal)
    {
        for (var k = 2; k < corners.Length; k++)
        {
            var area = Vector3.Cross(corners[k - 1] - corners[0], corners[k] - corners[0]).Length() / 2;
            if (area > 1e-9f)
            {
                if (_numbers[slot] < 0)
                {
                    _numbers[slot] = _parts.Count;
                    _parts.Add(new Part());
                }

                _parts[_numbers[slot]].Add(corners[0] + back, corners[k - 1] + back, corners[k] + back, normal, area);
            }
        }
    }

    /// <summary>What of a convex polygon lies in one of the grid's slabs along an axis; the outermost reach on without end.</summary>
    private int Slab(ReadOnlySpan<Vector3> polygon, int axis, int at, int count, Span<Vector3> into, Span<Vector3> spare)
    {
        if (count == 1)
        {
            polygon.CopyTo(into);
            return polygon.Length;
        }

        var from = _low[axis] + (at * _cell[axis]);
        var first = at == 0 ? Copy(polygon, spare) : Clip(polygon, axis, from, 1, spare);
        return at == count - 1 ? Copy(spare[..first], into) : Clip(spare[..first], axis, from + _cell[axis], -1, into);
    }

    private static int Copy(ReadOnlySpan<Vector3> polygon, Span<Vector3> into)
    {
        polygon.CopyTo(into);
        return polygon.Length;
    }

    /// <summary>Sutherland and Hodgman 1974: keeps the side of a plane where sign·(p - at) ≥ 0.</summary>
    private static int Clip(ReadOnlySpan<Vector3> polygon, int axis, float at, int sign, Span<Vector3> into)
    {
        var count = 0;
        for (var i = 0; i < polygon.Length; i++)
        {
            var (a, b) = (polygon[i], polygon[(i + 1) % polygon.Length]);
            var (da, db) = ((a[axis] - at) * sign, (b[axis] - at) * sign);
            if (da >= 0)
            {
                into[count++] = a;
            }

            if (da >= 0 != db >= 0)
            {
                into[count++] = Vector3.Lerp(a, b, da / (da - db));
            }
        }

        return count;
    }

    /// <summary>1 where a mesh is closed and its triangles run counter-clockwise seen from outside, -1 where clockwise, 0 where it has an edge.</summary>
    private static int Sense(SceneMesh mesh) => Closed.GetValue(mesh, static m =>
    {
        var places = new Dictionary<Vector3, int>();
        var same = new int[m.Positions.Length];
        for (var i = 0; i < same.Length; i++)
        {
            // Corners that rounding set apart are one.
            var p = m.Positions[i];
            var key = new Vector3(MathF.Round(p.X, 5), MathF.Round(p.Y, 5), MathF.Round(p.Z, 5)) + Vector3.Zero;
            same[i] = places.TryGetValue(key, out var known) ? known : places[key] = i;
        }

        var edges = new Dictionary<(int, int), int>();
        var volume = 0.0;
        for (var i = 0; i + 2 < m.Indices.Length; i += 3)
        {
            for (var k = 0; k < 3; k++)
            {
                var (a, b) = (same[m.Indices[i + k]], same[m.Indices[i + ((k + 1) % 3)]]);
                if (a != b)
                {
                    edges[(a, b)] = edges.GetValueOrDefault((a, b)) + 1;
                    edges[(b, a)] = edges.GetValueOrDefault((b, a)) - 1;
                }
            }

            volume += Vector3.Dot(m.Positions[m.Indices[i]], Vector3.Cross(m.Positions[m.Indices[i + 1]], m.Positions[m.Indices[i + 2]]));
        }

        return new StrongBox<int>(edges.Values.Any(e => e != 0) ? 0 : Math.Sign(volume));
    }).Value;

    /// <summary>The triangles of one patch.</summary>
    private sealed class Part
    {
        private readonly List<(Vector3 A, Vector3 B, Vector3 C, Vector3 Normal)> _triangles = [];
        private readonly List<double> _upTo = [];

        public double Area { get; private set; }

        public void Add(Vector3 a, Vector3 b, Vector3 c, Vector3 normal, double area)
        {
            _triangles.Add((a, b, c, normal));
            Area += area;
            _upTo.Add(Area);
        }

        public void Close()
        {
            _triangles.TrimExcess();
            _upTo.TrimExcess();
        }

        public Vector3 Place(float a, float b, out Vector3 normal)
        {
            var at = a * Area;
            var i = _upTo.BinarySearch(at);
            i = Math.Min(i < 0 ? ~i : i + 1, _upTo.Count - 1);
            var before = i == 0 ? 0 : _upTo[i - 1];
            var (p, q, r, n) = _triangles[i];
            normal = n;
            // Even over a triangle: Turk 1990, "Generating random points in triangles".
            var s = MathF.Sqrt((float)Math.Clamp((at - before) / (_upTo[i] - before), 0, 1));
            return (p * (1 - s)) + (q * (s * (1 - b))) + (r * (s * b));
        }
    }
}
