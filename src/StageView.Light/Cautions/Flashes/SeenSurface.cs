using System.Numerics;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Cautions.Flashes;

/// <summary>A flat pixel surface as an eye sees it.</summary>
internal readonly ref struct SeenSurface
{
    private const int MostBlocks = 256;

    /// <summary>Looks a cell, across and down.</summary>
    private const int Looks = 3;

    private readonly LightMeter _meter;
    private readonly OcclusionScene _scene;
    private readonly PixelSurface _flat;
    private readonly Vector3 _eye;
    private readonly Vector3 _front;

    public SeenSurface(LightMeter meter, OcclusionScene scene, in PixelSurface flat, Vector3 eye)
    {
        (_meter, _scene, _flat, _eye, _front) = (meter, scene, flat, eye, flat.FrontNormal);
        (LengthU, LengthV) = (flat.EdgeU.Length(), flat.EdgeV.Length());
        FacesEye = Vector3.Dot(eye - flat.Origin, _front) > 0;
        Near = MathF.Max(0.05f, LightMeter.Nearest(flat, LengthU, LengthV, eye));
    }

    public float LengthU { get; }

    public float LengthV { get; }

    /// <summary>Least distance to the eye, m.</summary>
    public float Near { get; }

    public bool FacesEye { get; }

    /// <summary>A surface larger than a few cells: each cell looks at it a few times.</summary>
    public void IntoCells(FieldGrid grid, in EyeFrame frame, List<PixelWeight> into)
    {
        var (x0, x1, y0, y1) = Bounds(grid, frame);
        // A look's own width along the surface, as a share of its sides: pixels finer than that are read as their mean.
        var fine = MathF.Sqrt(grid.SolidAngles[grid.Cells / 2]) / Looks;
        for (var y = y0; y <= y1; y++)
        {
            for (var x = x0; x <= x1; x++)
            {
                for (var k = 0; k < Looks * Looks; k++)
                {
                    Look(frame.ToWorld(grid.DirectionAt(x + ((k % Looks) + 0.5f) / Looks - 0.5f, y + ((k / Looks) + 0.5f) / Looks - 0.5f)), fine,
                        (y * grid.Columns) + x, into);
                }
            }
        }
    }

    /// <summary>A small or thin surface: the light of each block of it goes into the cell it lies in, so that nothing slips between looks.</summary>
    public void IntoCellsByBlocks(FieldGrid grid, in EyeFrame frame, float fine, List<PixelWeight> into)
    {
        var blocksU = Math.Clamp((int)MathF.Ceiling(LengthU / (fine * Near)), 1, MostBlocks);
        var blocksV = Math.Clamp((int)MathF.Ceiling(LengthV / (fine * Near)), 1, MostBlocks);
        var area = Vector3.Cross(_flat.EdgeU, _flat.EdgeV).Length() * _flat.Fill * _flat.Fill / (blocksU * blocksV);
        for (var v = 0; v < blocksV; v++)
        {
            for (var u = 0; u < blocksU; u++)
            {
                var at = _flat.Origin + (_flat.EdgeU * ((u + 0.5f) / blocksU)) + (_flat.EdgeV * ((v + 0.5f) / blocksV));
                var to = at - _eye;
                var distance = to.Length();
                var towards = to / distance;
                var cell = grid.CellOf(frame.ToEye(towards));
                if (cell >= 0 && IsClear(at))
                {
                    var weight = area * -Vector3.Dot(towards, _front) / (distance * distance) * _meter.HazeOver(distance) / grid.SolidAngles[cell];
                    into.Add(Weight(cell, (float)u / blocksU, (u + 1f) / blocksU, (float)v / blocksV, (v + 1f) / blocksV, weight));
                }
            }
        }
    }

    private void Look(Vector3 direction, float fine, int cell, List<PixelWeight> into)
    {
        var along = -Vector3.Dot(direction, _front);
        if (along <= 1e-4f)
        {
            return;
        }

        var distance = Vector3.Dot(_eye - _flat.Origin, _front) / along;
        var at = _eye + (direction * distance);
        var u = Vector3.Dot(at - _flat.Origin, _flat.EdgeU) / (LengthU * LengthU);
        var v = Vector3.Dot(at - _flat.Origin, _flat.EdgeV) / (LengthV * LengthV);
        if (u < 0 || u > 1 || v < 0 || v > 1 || !IsClear(at))
        {
            return;
        }

        var half = fine * distance / 2;
        var (hu, hv) = (half / LengthU, half / LengthV);
        into.Add(Weight(cell, u - hu, u + hu, v - hv, v + hv, _flat.Fill * _flat.Fill * _meter.HazeOver(distance) / (Looks * Looks)));
    }

    private PixelWeight Weight(int cell, float u0, float u1, float v0, float v1, float weight)
    {
        var (c0, c1) = Pixels(u0, u1, _flat.Columns);
        var (r0, r1) = Pixels(v0, v1, _flat.Rows);
        return new PixelWeight(cell, c0, c1, r0, r1, new Vector3(weight));
    }

    /// <summary>The pixels whose middles lie within a stretch of a side, or the one that holds its middle.</summary>
    private static (int First, int End) Pixels(float from, float to, int pixels)
    {
        var (first, end) = (Math.Max(0, (int)MathF.Ceiling((from * pixels) - 0.5f)), Math.Min(pixels, (int)MathF.Floor((to * pixels) + 0.5f)));
        if (end > first)
        {
            return (first, end);
        }

        var one = Math.Clamp((int)((from + to) / 2 * pixels), 0, pixels - 1);
        return (one, one + 1);
    }

    private bool IsClear(Vector3 at) => !_scene.Blocked(_eye, at + (_front * LightMeter.Lift), exceptFixture: _flat.Fixture);

    /// <summary>The columns and rows that may see the surface.</summary>
    private (int X0, int X1, int Y0, int Y1) Bounds(FieldGrid grid, in EyeFrame frame)
    {
        var (low, high) = (new Vector2(float.MaxValue), new Vector2(float.MinValue));
        for (var k = 0; k < 9; k++)
        {
            var d = frame.ToEye(_flat.Origin + (_flat.EdgeU * (k % 3 / 2f)) + (_flat.EdgeV * (k / 3 / 2f)) - _eye);
            if (d.Z <= 0)
            {
                return (0, grid.Columns - 1, 0, grid.Rows - 1);
            }

            var place = grid.PlaceOf(d);
            (low, high) = (Vector2.Min(low, place), Vector2.Max(high, place));
        }

        int In(float at, int count) => (int)Math.Clamp(at, 0, count - 1);
        return (In(MathF.Floor(low.X) - 1, grid.Columns), In(MathF.Ceiling(high.X) + 1, grid.Columns), In(MathF.Floor(low.Y) - 1, grid.Rows),
            In(MathF.Ceiling(high.Y) + 1, grid.Rows));
    }
}
