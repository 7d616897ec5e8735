using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Rig.Source;

namespace StageView.Rig.Pieces;

/// <summary>One copy of a part: what moves and turns as one.</summary>
public sealed record RigPart
{
    /// <summary>Place in <see cref="RigScene.Parts"/>.</summary>
    public required PartIndex Index { get; init; }

    /// <summary>Its name as the paperwork has it; copies have their own.</summary>
    public required string Name { get; init; }

    /// <summary>The part that holds it, or none.</summary>
    public required PartIndex Holder { get; init; }

    /// <summary>Where it is in what holds it; of a mirrored copy the origin's place and its axes reflected twice.</summary>
    public required Pose InHolder { get; init; }

    /// <summary>Origin of what holds it, world, m.</summary>
    public required Vector3d HolderOrigin { get; init; }

    /// <summary>Unit axes of what holds it, world; left-handed in a reflected half.</summary>
    public required (Vector3d X, Vector3d Y, Vector3d Z) HolderAxes { get; init; }

    /// <summary>Where its own origin is, world, m.</summary>
    public Vector3d Origin => ToWorld(Vector3d.From(InHolder.Position));

    /// <summary>Whether the venue brought it: what a venue adds, its moves don't name.</summary>
    public bool OfVenue { get; init; }

    /// <summary>Where it is written.</summary>
    public required SourcePlace Source { get; init; }

    /// <summary>A motion of the part in the world, said as a venue's move of this one alone says it.</summary>
    /// <param name="motion">What moves the part from where this rig has it; all that holds it stays.</param>
    /// <returns><c>by</c>, m, and <c>turn</c>, degrees, both in the coordinates of what holds it.</returns>
    public (Vector3d By, Vector3d Turn) MoveOf(RigidMotion motion)
    {
        var (ax, ay, az) = HolderAxes;
        var by = FromWorldDirection(motion.Apply(Origin) - Origin);
        return (by, RigidMotion.DegreesOf(FromWorldDirection(motion.Turn(ax)), FromWorldDirection(motion.Turn(ay)), FromWorldDirection(motion.Turn(az))));
    }

    private Vector3d ToWorld(Vector3d inHolder) =>
        HolderOrigin + (HolderAxes.X * inHolder.X) + (HolderAxes.Y * inHolder.Y) + (HolderAxes.Z * inHolder.Z);

    private Vector3d FromWorldDirection(Vector3d v) =>
        new(Vector3d.Dot(HolderAxes.X, v), Vector3d.Dot(HolderAxes.Y, v), Vector3d.Dot(HolderAxes.Z, v));
}
