using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Cautions.Limits;

namespace StageView.Light.Cautions.Flashes;

/// <summary>
/// A visual field or a picture cut into cells, and the parts of it over which flashing areas add up: for an eye every disc of ten degrees about a cell's
/// middle, for a picture the picture.
/// </summary>
public sealed class FieldGrid
{
    private readonly int[][] _discsOf;
    private readonly float[] _areas;
    private readonly float[] _solidAngles;
    private readonly Vector3[] _directions;

    /// <summary>Half a lens' field as tangents; zero for an eye.</summary>
    private readonly Vector2 _tangents;

    private FieldGrid(int columns, int rows, float[] areas, float[] solidAngles, Vector3[] directions, int[][] discsOf, int discs, float whole,
        Vector2 tangents = default)
    {
        (Columns, Rows, _areas, _solidAngles, _directions, _discsOf, Discs, DiscArea) =
            (columns, rows, areas, solidAngles, directions, discsOf, discs, whole);
        _tangents = tangents;
    }

    public int Columns { get; }

    public int Rows { get; }

    public int Cells => Columns * Rows;

    /// <summary>Number of parts over which areas add up.</summary>
    public int Discs { get; }

    /// <summary>Area of such a part: sr for an eye, 1 for a picture.</summary>
    public float DiscArea { get; }

    /// <summary>Area of each cell, row by row from the top left: sr for an eye, share of the picture else.</summary>
    public ReadOnlySpan<float> Areas => _areas;

    /// <summary>Solid angle of each cell as the eye or lens sees it, sr; empty for a picture without directions.</summary>
    public ReadOnlySpan<float> SolidAngles => _solidAngles;

    /// <summary>Unit direction of each cell's middle with x to the right, y up and z ahead; empty for a picture without directions.</summary>
    public ReadOnlySpan<Vector3> Directions => _directions;

    internal ReadOnlySpan<int> DiscsOf(int cell) => _discsOf[cell];

    /// <summary>An eye's field, cut by azimuth and elevation.</summary>
    /// <param name="widthDegrees">Full width, up to 170.</param>
    /// <param name="heightDegrees">Full height, up to 170.</param>
    /// <param name="cellDegrees">Size of a cell. Coarser than a quarter of the part over which areas add up is refused.</param>
    /// <param name="fieldDegrees">Diameter of the part over which areas add up (<see cref="CautionLimits.FieldDegrees"/>).</param>
    public static FieldGrid Eye(double widthDegrees = 80, double heightDegrees = 60, double cellDegrees = 2, double fieldDegrees = 10)
    {
        if (!(widthDegrees is > 0 and <= 170) || !(heightDegrees is > 0 and <= 170) || !(fieldDegrees is > 0 and <= 60)
            || !(cellDegrees > 0 && cellDegrees <= fieldDegrees / 4))
        {
            throw new ArgumentException(
                $"a field of {widthDegrees} x {heightDegrees} degrees in cells of {cellDegrees}, areas over {fieldDegrees}: "
                + "width and height take up to 170, the cell up to a quarter of the last");
        }

        var (columns, rows) = ((int)Math.Ceiling(widthDegrees / cellDegrees), (int)Math.Ceiling(heightDegrees / cellDegrees));
        var (du, dv) = (widthDegrees / columns * Math.PI / 180, heightDegrees / rows * Math.PI / 180);
        var areas = new float[columns * rows];
        var directions = new Vector3[columns * rows];
        for (var r = 0; r < rows; r++)
        {
            var elevation = ((rows / 2.0) - r - 0.5) * dv;
            for (var c = 0; c < columns; c++)
            {
                var azimuth = (c + 0.5 - (columns / 2.0)) * du;
                areas[(r * columns) + c] = (float)(du * (Math.Sin(elevation + (dv / 2)) - Math.Sin(elevation - (dv / 2))));
                directions[(r * columns) + c] = new Vector3((float)(Math.Cos(elevation) * Math.Sin(azimuth)), (float)Math.Sin(elevation),
                    (float)(Math.Cos(elevation) * Math.Cos(azimuth)));
            }
        }

        var cosine = (float)Math.Cos(fieldDegrees / 2 * Math.PI / 180);
        var discsOf = directions.Select(d => Enumerable.Range(0, directions.Length).Where(k => Vector3.Dot(d, directions[k]) >= cosine).ToArray()).ToArray();
        return new FieldGrid(columns, rows, areas, areas, directions, discsOf, directions.Length,
            (float)(Math.Tau * (1 - Math.Cos(fieldDegrees / 2 * Math.PI / 180))));
    }

    /// <summary>A picture of equal cells, all of which add up.</summary>
    public static FieldGrid Picture(int columns, int rows)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(columns, 1);
        ArgumentOutOfRangeException.ThrowIfLessThan(rows, 1);
        var cells = columns * rows;
        return new FieldGrid(columns, rows, [.. Enumerable.Repeat(1f / cells, cells)], [], [], [.. Enumerable.Repeat<int[]>([0], cells)], 1, 1);
    }

    /// <summary>A picture as a lens without distortion takes it: equal cells, all of which add up, each with its direction.</summary>
    /// <param name="heightDegrees">Full vertical angle of view, up to 170.</param>
    /// <param name="columns">Cells across.</param>
    /// <param name="rows">Cells down; cells are square on the picture.</param>
    public static FieldGrid Lens(double heightDegrees, int columns, int rows)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(columns, 1);
        ArgumentOutOfRangeException.ThrowIfLessThan(rows, 1);
        if (!(heightDegrees is > 0 and <= 170))
        {
            throw new ArgumentException($"an angle of view of {heightDegrees} degrees: it takes up to 170", nameof(heightDegrees));
        }

        var up = Math.Tan(heightDegrees / 2 * Math.PI / 180);
        var side = 2 * up / rows;
        var cells = columns * rows;
        var (directions, solid) = (new Vector3[cells], new float[cells]);
        for (var i = 0; i < cells; i++)
        {
            var d = Vector3.Normalize(new Vector3((float)(side * ((i % columns) + 0.5 - (columns / 2.0))), (float)(up - (side * ((i / columns) + 0.5))), 1));
            // A square of side s in a plane at distance 1 covers s² cos³ sr.
            (directions[i], solid[i]) = (d, (float)(side * side) * d.Z * d.Z * d.Z);
        }

        return new FieldGrid(columns, rows, [.. Enumerable.Repeat(1f / cells, cells)], solid, directions, [.. Enumerable.Repeat<int[]>([0], cells)], 1, 1,
            new Vector2((float)(side * columns / 2), (float)up));
    }

    /// <summary>The cell that holds a direction (x right, y up, z ahead), or -1.</summary>
    public int CellOf(Vector3 direction)
    {
        if (_directions.Length == 0 || direction.Z <= 0)
        {
            return -1;
        }

        var at = PlaceOf(direction);
        var (u, v) = (MathF.Round(at.X), MathF.Round(at.Y));
        return u >= 0 && u < Columns && v >= 0 && v < Rows ? ((int)v * Columns) + (int)u : -1;
    }

    /// <summary>The direction at a column and row, whole numbers at the cells' middles.</summary>
    internal Vector3 DirectionAt(float column, float row)
    {
        if (_tangents != Vector2.Zero)
        {
            return Vector3.Normalize(new Vector3(_tangents.X * (((2 * column) + 1 - Columns) / Columns), _tangents.Y * ((Rows - 1 - (2 * row)) / Rows), 1));
        }

        var first = _directions[0];
        var (left, top) = (Trig.Atan2(first.X, first.Z), Trig.Asin(first.Y));
        var (pitchU, pitchV) = (Columns == 1 ? 0 : -2 * left / (Columns - 1), Rows == 1 ? 0 : 2 * top / (Rows - 1));
        var (sinA, cosA) = Trig.SinCos(left + (column * pitchU));
        var (sinE, cosE) = Trig.SinCos(top - (row * pitchV));
        return new Vector3(cosE * sinA, sinE, cosE * cosA);
    }

    /// <summary>Column and row of a direction ahead, whole numbers at the cells' middles.</summary>
    internal Vector2 PlaceOf(Vector3 direction)
    {
        if (_tangents != Vector2.Zero)
        {
            return new Vector2(
                (((direction.X / direction.Z / _tangents.X) + 1) * Columns / 2) - 0.5f, ((1 - (direction.Y / direction.Z / _tangents.Y)) * Rows / 2) - 0.5f);
        }

        // The first cell's middle tells the pitch: half a cell in from both edges.
        var first = _directions[0];
        var (left, top) = (Trig.Atan2(first.X, first.Z), Trig.Asin(first.Y));
        var (pitchU, pitchV) = (Columns == 1 ? 1 : -2 * left / (Columns - 1), Rows == 1 ? 1 : 2 * top / (Rows - 1));
        var elevation = Trig.Asin(Math.Clamp(direction.Y / direction.Length(), -1, 1));
        return new Vector2((Trig.Atan2(direction.X, direction.Z) - left) / pitchU, (top - elevation) / pitchV);
    }
}
