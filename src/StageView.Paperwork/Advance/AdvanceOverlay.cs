using System.Numerics;
using StageView.Light.Moments;
using StageView.Paperwork.Drawings;
using StageView.Rig.Pieces;

namespace StageView.Paperwork.Advance;

/// <summary>The tour's own rig as dashed lines, where the venue has its structures, mirrors and fixtures elsewhere or not at all.</summary>
internal static class AdvanceOverlay
{
    /// <summary>Nearer than this something hangs where the tour's own rig has it, m.</summary>
    private const float Moved = .02f;

    /// <summary>Half the width of the cross at a fixture's place, m.</summary>
    private const float Cross = .3f;

    /// <param name="tour">The tour's own rig, without a venue.</param>
    /// <param name="venue">The rig in the venue.</param>
    public static DrawingOverlay Of(RigScene tour, RigScene venue)
    {
        List<OverlayRay> rays = [.. Structures(tour, venue), .. Mirrors(tour, venue), .. Fixtures(tour, venue)];
        return new DrawingOverlay("Advance", rays, [], Enumerable.Range(0, venue.Fixtures.Count).ToHashSet(),
            ["solid: in this venue", rays.Count > 0 ? "dashed: the tour's own rig, where it hangs elsewhere or not here; crosses are fixtures"
                : "all hangs as in the tour's own rig"]);
    }

    private static IEnumerable<OverlayRay> Structures(RigScene tour, RigScene venue)
    {
        var here = venue.Scenery.ToLookup(s => s.Name, StringComparer.Ordinal);
        return tour.Scenery.Where(s => s.Kind == SceneryKind.Structure && s.Carrier is null
            && !here[s.Name].Any(h => Vector3.Distance(h.Pose.Position, s.Pose.Position) < Moved
                && MathF.Abs(Quaternion.Dot(h.Pose.Orientation, s.Pose.Orientation)) > 1 - 1e-6f))
            .SelectMany(s => Edges(tour.Meshes[s.Mesh], s));
    }

    private static IEnumerable<OverlayRay> Mirrors(RigScene tour, RigScene venue)
    {
        var here = venue.Mirrors.ToLookup(m => m.Name, StringComparer.Ordinal);
        return tour.Mirrors.Where(m => !here[m.Name].Any(h => h.Corners.Length == m.Corners.Length
                && h.Corners.Zip(m.Corners).All(c => Vector3.Distance(c.First, c.Second) < Moved)))
            .SelectMany(m => Enumerable.Range(0, m.Corners.Length).Select(i => new OverlayRay(m.Corners[i], m.Corners[(i + 1) % m.Corners.Length], 0)));
    }

    private static IEnumerable<OverlayRay> Fixtures(RigScene tour, RigScene venue)
    {
        var (before, after) = (PlacesAtRest.Roots(tour), PlacesAtRest.Roots(venue));
        var here = venue.Fixtures.ToLookup(f => f.Name, f => after[f.Index.Value].Position, StringComparer.Ordinal);
        foreach (var f in tour.Fixtures.Where(f => f.Carrier is null))
        {
            var was = before[f.Index.Value].Position;
            if (here[f.Name].Any(p => Vector3.Distance(p, was) < Moved))
            {
                continue;
            }

            foreach (var arm in (Vector3[])[Vector3.UnitX, Vector3.UnitY, Vector3.UnitZ])
            {
                yield return new OverlayRay(was - (arm * Cross), was + (arm * Cross), 0);
            }
        }
    }

    /// <summary>The twelve edges of a piece's box.</summary>
    private static IEnumerable<OverlayRay> Edges(SceneMesh mesh, SceneryPiece piece)
    {
        var (low, high) = (new Vector3(float.MaxValue), new Vector3(float.MinValue));
        foreach (var p in mesh.Positions)
        {
            (low, high) = (Vector3.Min(low, p), Vector3.Max(high, p));
        }

        for (var i = 0; i < 8; i++)
        {
            foreach (var bit in (int[])[1, 2, 4])
            {
                if ((i & bit) == 0)
                {
                    yield return new OverlayRay(Corner(i), Corner(i | bit), 0);
                }
            }
        }

        Vector3 Corner(int i) => piece.Pose.TransformPoint(piece.Scale * new Vector3(
            (i & 1) == 0 ? low.X : high.X, (i & 2) == 0 ? low.Y : high.Y, (i & 4) == 0 ? low.Z : high.Z));
    }
}
