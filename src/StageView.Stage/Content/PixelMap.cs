using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;

namespace StageView.Stage.Content;

/// <summary>A fixed map from pixels to places in a picture, made of the rig at rest: what a processor knows of it, whatever moves.</summary>
public sealed class PixelMap
{
    /// <summary>Facets whose middles lie this near each other in plan stand above each other, m.</summary>
    private const float SamePlace = .02f;

    private readonly Dictionary<(FixtureIndex, int), MapPatch> _patches;

    private PixelMap(string name, List<MapPatch> patches)
    {
        (Name, Patches) = (name, patches);
        _patches = patches.ToDictionary(p => (p.Fixture, p.Emitter));
    }

    public string Name { get; }

    public IReadOnlyList<MapPatch> Patches { get; }

    /// <summary>Pixels that have a place.</summary>
    public int Pixels => Patches.Sum(p => p.Rest.Columns * p.Rest.Rows);

    /// <summary>Where a surface lies, or null where the map hasn't got it.</summary>
    public MapPatch? Of(in PixelSurface surface) => _patches.GetValueOrDefault((surface.Fixture, surface.Emitter));

    /// <summary>Makes a map.</summary>
    /// <param name="rig">The rig.</param>
    /// <param name="plan">One of its plans.</param>
    /// <param name="rest">All its pixel surfaces at rest; see <see cref="StageModel.SurfacesAtRest"/>.</param>
    public static PixelMap Of(RigScene rig, PixelMapPlan plan, IReadOnlyList<PixelSurface> rest)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(plan);
        var order = plan.Fixtures.Select((f, i) => (f, i)).ToDictionary(x => x.f, x => x.i);
        var surfaces = rest.Where(s => order.ContainsKey(s.Fixture) && s.Columns > 0 && s.Rows > 0)
            .OrderBy(s => order[s.Fixture]).ThenBy(s => s.Emitter).ToList();
        return new PixelMap(plan.Name, plan.Kind switch
        {
            PixelMapKind.Curve => Along(plan, surfaces),
            PixelMapKind.Grid => InCells(plan, surfaces),
            PixelMapKind.ByHand => ByHand(rig, plan, surfaces),
            _ => [.. surfaces.Select(s => Thrown(plan, s))],
        });
    }

    /// <summary>The map that throws a placement's picture onto the rig at rest.</summary>
    public static PixelMap Of(RigScene rig, ContentPlacement thrown, IReadOnlyList<PixelSurface> rest) => Of(rig, new PixelMapPlan
    {
        Name = thrown.Name,
        Kind = PixelMapKind.Flat,
        Corner = thrown.Corner,
        Across = thrown.Across,
        Down = thrown.Down,
        Fixtures = thrown.Fixtures.Count > 0 ? thrown.Fixtures : [.. rig.Fixtures.Select(f => f.Index)],
    }, rest);

    private static MapPatch Thrown(PixelMapPlan plan, in PixelSurface s)
    {
        var plane = new ThrowPlane(plan.Corner, plan.Across, plan.Down);
        var globe = s.Shape == PixelShape.Globe;
        var reach = new Vector2(s.EdgeU.Length() / 2) / plane.Size;
        return Turned(plan, new MapPatch
        {
            Fixture = s.Fixture,
            Emitter = s.Emitter,
            Rest = s,
            Corner = globe ? plane.At(s.Origin) - reach : plane.At(s.Origin),
            Right = globe ? new Vector2(2 * reach.X, 0) : plane.Along(s.EdgeU),
            Down = globe ? new Vector2(0, 2 * reach.Y) : plane.Along(s.EdgeV),
            PerMetreU = plane.U,
            PerMetreV = plane.V,
            Front = plane.Front,
        });
    }

    /// <summary>
    /// Upright facets one after another as seen from the front, gaps between them counted; those above each other in plan share their place along the run. Down
    /// goes by height. Facets that lie flat, and globes, have no place.
    /// </summary>
    private static List<MapPatch> Along(PixelMapPlan plan, List<PixelSurface> surfaces)
    {
        var upright = surfaces.Where(s => s.Shape == PixelShape.Flat && MathF.Abs(s.FrontNormal.Z) < .9f).Select(Upright.Of).ToList();
        if (upright.Count == 0)
        {
            return [];
        }

        var places = new List<Upright>();
        foreach (var u in upright)
        {
            if (!places.Exists(p => Vector2.Distance(p.Middle, u.Middle) < SamePlace))
            {
                places.Add(u);
            }
        }

        var starts = Chain(places, out var length);
        var (top, bottom) = (upright.Max(u => u.Top), upright.Min(u => u.Bottom));
        return [.. upright.Select(u =>
        {
            var at = places.FindIndex(p => Vector2.Distance(p.Middle, u.Middle) < SamePlace);
            var right = new Vector3(u.Direction, 0);
            var left = new Vector3(u.Left, 0);
            Vector2 Place(Vector3 world) => new((starts[at] + Vector3.Dot(world - left, right)) / length, (top - world.Z) / (top - bottom));
            var corner = Place(u.Surface.Origin);
            return Turned(plan, new MapPatch
            {
                Fixture = u.Surface.Fixture,
                Emitter = u.Surface.Emitter,
                Rest = u.Surface,
                Corner = corner,
                Right = Place(u.Surface.Origin + u.Surface.EdgeU) - corner,
                Down = Place(u.Surface.Origin + u.Surface.EdgeV) - corner,
                PerMetreU = right / length,
                PerMetreV = -Vector3.UnitZ / (top - bottom),
                Front = u.Surface.FrontNormal,
            });
        })];
    }

    /// <summary>How far along the run each place begins, m: from the left end always on to the nearest left edge.</summary>
    private static float[] Chain(List<Upright> places, out float length)
    {
        var starts = new float[places.Count];
        var left = Enumerable.Range(0, places.Count).ToHashSet();
        var at = left.MaxBy(i => left.Where(j => j != i).Select(j => Vector2.Distance(places[i].Left, places[j].Right)).DefaultIfEmpty(0).Min());
        length = 0;
        while (true)
        {
            starts[at] = length;
            length += places[at].Width;
            left.Remove(at);
            if (left.Count == 0)
            {
                return starts;
            }

            var end = places[at].Right;
            at = left.MinBy(j => Vector2.DistanceSquared(places[j].Left, end));
            length += Vector2.Distance(end, places[at].Left);
        }
    }

    private static List<MapPatch> InCells(PixelMapPlan plan, List<PixelSurface> surfaces)
    {
        var cell = new Vector2(1f / plan.Columns, 1f / plan.Rows);
        return [.. surfaces.GroupBy(s => s.Fixture).SelectMany((group, n) =>
        {
            var (column, row) = plan.Order.Wired(n, plan.Columns, plan.Rows);
            var (all, i) = (group.Count(), 0);
            return group.Select(s =>
            {
                // Several grids of one fixture lie side by side in its cell.
                var local = Turned(plan, new MapPatch
                {
                    Fixture = s.Fixture,
                    Emitter = s.Emitter,
                    Rest = s,
                    Corner = new Vector2((float)i++ / all, 0),
                    Right = new Vector2(1f / all, 0),
                    Down = new Vector2(0, 1),
                    PerMetreU = s.EdgeU / s.EdgeU.LengthSquared() / all,
                    PerMetreV = s.EdgeV / s.EdgeV.LengthSquared(),
                    Front = s.Shape == PixelShape.Globe ? Vector3.Zero : s.FrontNormal,
                });
                return local with
                {
                    Corner = (local.Corner + new Vector2(column, row)) * cell,
                    Right = local.Right * cell,
                    Down = local.Down * cell,
                    PerMetreU = local.PerMetreU * cell.X,
                    PerMetreV = local.PerMetreV * cell.Y,
                };
            });
        })];
    }

    private static List<MapPatch> ByHand(RigScene rig, PixelMapPlan plan, List<PixelSurface> surfaces)
    {
        var rows = plan.ByHand.ToLookup(r => r.Fixture, StringComparer.Ordinal);
        var patches = new List<MapPatch>();
        foreach (var s in surfaces)
        {
            var mode = rig.Fixtures[s.Fixture.Value].Mode;
            var name = mode.Geometry.Where(g => g.Beam is not null || g.Pixels is not null || g.Laser is not null).ElementAtOrDefault(s.Emitter)?.Name ?? "";
            var path = mode.PixelBlocks.FirstOrDefault(b => mode.Geometry[b.Geometry].Name == name)?.Path ?? PixelPath.Rows;
            var hand = new Vector4[s.Columns * s.Rows];
            Array.Fill(hand, new Vector4(float.NaN));
            foreach (var r in rows[rig.Fixtures[s.Fixture.Value].Name].Where(r => (r.Geometry.Length == 0 || r.Geometry == name) && r.Pixel <= hand.Length))
            {
                var (column, row) = path.Wired(r.Pixel - 1, s.Columns, s.Rows);
                hand[(row * s.Columns) + column] = new Vector4(r.U, r.V, r.Width, r.Height);
            }

            if (hand.All(h => float.IsNaN(h.X)))
            {
                continue;
            }

            Vector2 Step(int pixels, int stride) => pixels < 2 || float.IsNaN(hand[(pixels - 1) * stride].X) || float.IsNaN(hand[0].X) ? Vector2.Zero
                : (new Vector2(hand[(pixels - 1) * stride].X, hand[(pixels - 1) * stride].Y) - new Vector2(hand[0].X, hand[0].Y)) * pixels / (pixels - 1);
            var (right, down) = (Step(s.Columns, 1), Step(s.Rows, s.Columns));
            var (u, v) = (s.EdgeU / s.EdgeU.LengthSquared(), s.EdgeV / s.EdgeV.LengthSquared());
            patches.Add(new MapPatch
            {
                Fixture = s.Fixture,
                Emitter = s.Emitter,
                Rest = s,
                ByHand = hand,
                PerMetreU = (u * right.X) + (v * down.X),
                PerMetreV = (u * right.Y) + (v * down.Y),
                Front = s.Shape == PixelShape.Globe ? Vector3.Zero : s.FrontNormal,
            });
        }

        return patches;
    }

    /// <summary>The place of a patch in a picture that was turned clockwise, then mirrored.</summary>
    private static MapPatch Turned(PixelMapPlan plan, MapPatch p)
    {
        if (plan.Mirrored)
        {
            p = p with
            {
                Corner = new(1 - p.Corner.X, p.Corner.Y),
                Right = new(-p.Right.X, p.Right.Y),
                Down = new(-p.Down.X, p.Down.Y),
                PerMetreU = -p.PerMetreU,
            };
        }

        for (var i = 0; i < plan.QuarterTurns; i++)
        {
            p = p with
            {
                Corner = new(p.Corner.Y, 1 - p.Corner.X),
                Right = new(p.Right.Y, -p.Right.X),
                Down = new(p.Down.Y, -p.Down.X),
                PerMetreU = p.PerMetreV,
                PerMetreV = -p.PerMetreU,
            };
        }

        return p;
    }

    /// <summary>A facet that stands: its stretch in plan as seen from the front, and its height.</summary>
    private readonly record struct Upright(PixelSurface Surface, Vector2 Left, Vector2 Direction, float Width, float Bottom, float Top)
    {
        public Vector2 Right => Left + (Direction * Width);

        public Vector2 Middle => Left + (Direction * (Width / 2));

        public static Upright Of(PixelSurface s)
        {
            var n = s.FrontNormal;
            var right = Vector3.Normalize(Vector3.Cross(-n, Vector3.UnitZ));
            var half = (MathF.Abs(Vector3.Dot(s.EdgeU, right)) + MathF.Abs(Vector3.Dot(s.EdgeV, right))) / 2;
            var rise = (MathF.Abs(s.EdgeU.Z) + MathF.Abs(s.EdgeV.Z)) / 2;
            var middle = s.Origin + ((s.EdgeU + s.EdgeV) / 2);
            var along = new Vector2(right.X, right.Y);
            return new Upright(s, new Vector2(middle.X, middle.Y) - (along * half), along, 2 * half, middle.Z - rise, middle.Z + rise);
        }
    }
}
