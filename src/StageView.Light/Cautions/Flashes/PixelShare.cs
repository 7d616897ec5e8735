using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Cautions.Flashes;

/// <summary>What the pixels of one surface add to an eye's field, while neither it nor anything in the room moves.</summary>
internal sealed class PixelShare
{
    /// <summary>Lit surfaces take a block of pixels as a point while its side is below this share of the distance.</summary>
    private const float BlockShare = 0.35f;

    private readonly List<PixelWeight> _groups = [];
    private readonly List<PixelWeight> _cells = [];

    /// <summary>When it was last of use; the owner's count.</summary>
    public int Used { get; set; }

    public static PixelShare Of(LightMeter meter, OcclusionScene scene, in PixelSurface surface, FieldRays rays, FieldGrid grid, in EyeFrame frame)
    {
        var share = new PixelShare();
        var groups = rays.Groups;
        for (var g = 0; g < groups.Length; g++)
        {
            ref readonly var group = ref groups[g];
            if (group.Weight == Vector3.Zero)
            {
                continue;
            }

            if (surface.Shape == PixelShape.Globe)
            {
                var weight = meter.GlobeWeight(surface, group.Point, new PlaneReceiver(group.Normal));
                if (weight > 0)
                {
                    share._groups.Add(Whole(g, surface, group.Weight * weight));
                }

                continue;
            }

            var taker = new Taker(share._groups, g, group.Weight);
            meter.VisitBlocks(surface, group.Point, new PlaneReceiver(group.Normal), BlockShare, ref taker);
        }

        if (surface.Shape == PixelShape.Globe)
        {
            share.SeeGlobe(meter, scene, surface, grid, frame);
            return share;
        }

        var cell = MathF.Sqrt(grid.SolidAngles[grid.Cells / 2]);
        var seen = new SeenSurface(meter, scene, surface, frame.Eye);
        if (seen.FacesEye && MathF.Min(seen.LengthU, seen.LengthV) > 2 * cell * seen.Near)
        {
            seen.IntoCells(grid, frame, share._cells);
        }
        else if (seen.FacesEye)
        {
            seen.IntoCellsByBlocks(grid, frame, cell / 4, share._cells);
        }

        return share;
    }

    /// <summary>Adds the surface as its pixels are.</summary>
    public void AddTo(SurfaceSums sums, Span<Vector3> groups, Span<Vector3> cells)
    {
        Add(_groups, sums, groups);
        Add(_cells, sums, cells);
    }

    private static void Add(List<PixelWeight> weights, SurfaceSums sums, Span<Vector3> to)
    {
        foreach (ref readonly var w in System.Runtime.InteropServices.CollectionsMarshal.AsSpan(weights))
        {
            to[w.Target] += sums.Mean(w.FirstColumn, w.EndColumn, w.FirstRow, w.EndRow) * w.Weight;
        }
    }

    private static PixelWeight Whole(int target, in PixelSurface globe, Vector3 weight) => new(target, 0, globe.Columns, 0, globe.Rows, weight);

    /// <summary>Its disc by rings of equal area, each in as many parts.</summary>
    private void SeeGlobe(LightMeter meter, OcclusionScene scene, in PixelSurface globe, FieldGrid grid, in EyeFrame frame)
    {
        var to = globe.Origin - frame.Eye;
        var (distance, radius) = (to.Length(), globe.EdgeU.Length() / 2);
        var towards = to / distance;
        if (distance <= radius || scene.Blocked(frame.Eye, frame.Eye + (towards * (distance - radius)), exceptFixture: globe.Fixture))
        {
            return;
        }

        var fine = MathF.Sqrt(grid.SolidAngles[grid.Cells / 2]) / 3;
        var n = Math.Clamp((int)MathF.Ceiling(2 * radius / (distance * fine)), 1, 24);
        var lux = MathF.PI * radius * radius / (distance * distance) * meter.HazeOver(distance - radius) / (3 * n * n);
        var side = Vector3.Normalize(Vector3.Cross(towards, MathF.Abs(towards.Z) > 0.9f ? Vector3.UnitX : Vector3.UnitZ));
        var over = Vector3.Cross(side, towards);
        for (var k = 0; k < 3 * n * n; k++)
        {
            var (ring, part) = (k / (3 * n), k % (3 * n));
            var (sin, cos) = Trig.SinCos((part + (ring * 0.5f)) * MathF.Tau / (3 * n));
            var off = radius * MathF.Sqrt((ring + 0.5f) / n) / distance;
            var cell = grid.CellOf(frame.ToEye(Vector3.Normalize(towards + (((side * cos) + (over * sin)) * off))));
            if (cell >= 0)
            {
                _cells.Add(Whole(cell, globe, new Vector3(lux / grid.SolidAngles[cell])));
            }
        }
    }

    private readonly struct Taker(List<PixelWeight> into, int group, Vector3 weight) : IBlockTaker
    {
        public bool Wants(int c0, int c1, int r0, int r1) => true;

        public void Take(int c0, int c1, int r0, int r1, float lux) => into.Add(new PixelWeight(group, c0, c1, r0, r1, weight * lux));
    }
}
