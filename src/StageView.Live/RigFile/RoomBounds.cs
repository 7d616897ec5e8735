using System.Globalization;
using System.Numerics;
using StageView.Rig.Pieces;

namespace StageView.Live.RigFile;

/// <summary>Says when a point lies outside the rooms of a rig. Sides that a room doesn't have bound nothing.</summary>
internal static class RoomBounds
{
    private const float Close = .005f;

    /// <summary><c>; that is 489 m above hall ceiling</c>; empty within a room, and where the rig has none.</summary>
    /// <param name="rig">The rig; pieces of one room share a name up to the side.</param>
    /// <param name="point">World, m.</param>
    public static string Remark(RigScene rig, Vector3 point)
    {
        var rooms = rig.Scenery.Where(s => s.RoomSide.Length > 0)
            .GroupBy(s => s.Name.Replace(s.RoomSide, "", StringComparison.Ordinal))
            .Select(room => room.Select(s => (Side: s, Metres: Beyond(s, point))).MaxBy(s => s.Metres))
            .ToList();
        if (rooms.Count == 0 || rooms.MinBy(r => r.Metres) is not { Metres: > Close } nearest)
        {
            return "";
        }

        var word = nearest.Side.RoomSide switch { "ceiling" => "above", "floor" => "below", _ => "beyond" };
        return string.Create(CultureInfo.InvariantCulture, $"; that is {nearest.Metres:0.##} m {word} {nearest.Side.Name}");
    }

    /// <summary>How far a point lies outside a side's inner face, m; negative within. A side is a box, its inner face towards the room's middle.</summary>
    private static float Beyond(SceneryPiece side, Vector3 point)
    {
        var local = Vector3.Transform(point - side.Pose.Position, Quaternion.Inverse(side.Pose.Orientation));
        var half = side.Scale / 2;
        return side.RoomSide switch
        {
            "ceiling" => local.Z + half.Z,
            "floor" => half.Z - local.Z,
            "left" => half.X - local.X,
            "right" => local.X + half.X,
            "rear" => local.Y + half.Y,
            _ => half.Y - local.Y,
        };
    }
}
