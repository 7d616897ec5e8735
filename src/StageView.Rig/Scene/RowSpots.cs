using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Geometry;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>Places of several in a line or on a circle.</summary>
internal static class RowSpots
{
    /// <summary>The places of a thing with a <c>row</c> or an <c>arc</c>; one at the origin where it has neither.</summary>
    /// <param name="holder">What has the keys.</param>
    /// <param name="problems">Told when it has both.</param>
    public static IReadOnlyList<Pose> Of(SourceNode holder, ProblemList problems)
    {
        if (holder.Has("row") && holder.Has("arc"))
        {
            problems.Error(holder.Get("arc")!, "has a \"row\" and an \"arc\": one of them says where several are");
        }

        return holder.Get("arc") is { Kind: SourceKind.Object } arc ? OnArc(arc)
            : [.. InRow(holder.Get("row")).Select(p => new Pose(p, Quaternion.Identity))];
    }

    /// <summary>Places in a row; one at the origin where there is none.</summary>
    public static IReadOnlyList<Vector3> InRow(SourceNode? row)
    {
        if (row is not { Kind: SourceKind.Object })
        {
            return [Vector3.Zero];
        }

        var from = row.VectorOr("from", default);
        var to = row.VectorOr("to", default);
        var count = Math.Clamp(row.IntegerOr("count", 1), 1, 10_000);
        return [.. Enumerable.Range(0, count).Select(i => Vector3.Lerp(from, to, Share(i, count)))];
    }

    /// <summary>Places on a circle about a vertical axis; turned along with their direction where the arc says so.</summary>
    public static IReadOnlyList<Pose> OnArc(SourceNode arc)
    {
        var count = Math.Clamp(arc.IntegerOr("count", 1), 1, 10_000);
        var (centre, radius) = (arc.VectorOr("centre", default), arc.NumberOr("radius", 1));
        var turn = arc.FlagOr("turn", false);
        return [.. Enumerable.Range(0, count).Select(i =>
        {
            var degrees = float.Lerp(arc.NumberOr("from", 0), arc.NumberOr("to", 0), Share(i, count));
            var a = Angles.Radians(degrees);
            var p = centre + new Vector3(radius * Trig.Cos(a), radius * Trig.Sin(a), 0);
            return new Pose(p, turn ? Pose.FromDegrees(default, new Vector3(0, 0, degrees + 90)).Orientation : Quaternion.Identity);
        })];
    }

    /// <summary>A single one stands in the middle.</summary>
    public static float Share(int i, int count) => count == 1 ? .5f : i / (float)(count - 1);
}
