using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Pieces;

namespace StageView.Show.Refocus;

/// <summary>Where anchors are at one moment of the new venue: things may be carried, and several may have one name.</summary>
/// <param name="old">The old venue's rig.</param>
/// <param name="was">A moment of it.</param>
/// <param name="now">The new venue's rig.</param>
/// <param name="moment">The same moment of it.</param>
internal sealed class AnchorPlaces(RigScene old, Moment was, RigScene now, Moment moment)
{
    /// <summary>How far along a direction is aimed, m.</summary>
    private const float FarAlong = 50;

    /// <summary>Where an anchor is in the new venue, m, and what is to be said of that.</summary>
    /// <param name="anchor">The anchor.</param>
    /// <param name="lens">Where the light comes from, for a direction.</param>
    public (Vector3 Place, string Note) Of(Anchor anchor, Vector3 lens)
    {
        switch (anchor.Kind)
        {
            case AnchorKind.Point:
                return now.FocusPoints.FirstOrDefault(p => p.Name == anchor.Name) is { } point ? (point.Position, "")
                    : (anchor.Place, $"{anchor.Name} is no named point here: taken where it was");
            case AnchorKind.Person or AnchorKind.Piece:
                return PieceOf(anchor) is { } pose ? (pose.TransformPoint(anchor.Local), "")
                    : (anchor.Place, $"{anchor.Name} is not here: taken where it was");
            case AnchorKind.Audience:
                return now.Volumes.FirstOrDefault(v => v.Name == anchor.Name) is { } volume ? (volume.Pose.TransformPoint(anchor.Local), "")
                    : (anchor.Place, $"{anchor.Name} is not here: taken where it was");
            case AnchorKind.Direction when anchor.Via.Count == 0:
                return (lens + (anchor.Place * FarAlong), "");
            default:
                return (anchor.Place, "");
        }
    }

    /// <summary>The piece that an anchor is on: of several of one name the same in order, or the nearest where there are not as many as there were.</summary>
    private Pose? PieceOf(Anchor anchor)
    {
        var (before, after) = (Named(old, was, anchor.Name), Named(now, moment, anchor.Name));
        if (after.Count == 0)
        {
            return null;
        }

        var own = before.FindIndex(p => Vector3.Distance(p.TransformPoint(anchor.Local), anchor.Place) < .01f);
        return own >= 0 && before.Count == after.Count ? after[own] : after.MinBy(p => Vector3.Distance(p.TransformPoint(anchor.Local), anchor.Place));
    }

    /// <summary>Poses of all pieces of a name, in the order of the rig.</summary>
    private static List<Pose> Named(RigScene rig, Moment moment, string name)
    {
        var found = new List<(int Index, Pose Pose)>();
        foreach (var piece in moment.Scenery.Span)
        {
            if (!piece.Name.IsNone && rig.Scenery[piece.Name.Value].Name == name)
            {
                found.Add((piece.Name.Value, piece.Pose));
            }
        }

        return [.. found.OrderBy(f => f.Index).Select(f => f.Pose)];
    }
}
