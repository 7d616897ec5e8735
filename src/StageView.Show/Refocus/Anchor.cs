using System.Numerics;

namespace StageView.Show.Refocus;

/// <summary>What a position was for.</summary>
public enum AnchorKind
{
    /// <summary>A named point of the rig.</summary>
    Point,

    /// <summary>A performer.</summary>
    Person,

    /// <summary>Where several beams cross in the air.</summary>
    Crossing,

    /// <summary>A point on a piece of scenery.</summary>
    Piece,

    /// <summary>A point in the audience.</summary>
    Audience,

    /// <summary>A direction in the room: nothing is met.</summary>
    Direction,

    /// <summary>A point that a person says, in the new venue.</summary>
    Stated,
}

/// <summary>What a position was for, and why that is thought.</summary>
/// <param name="Kind">What it is.</param>
/// <param name="Name">Of the point, piece or volume; empty for a direction or a crossing.</param>
/// <param name="Place">Where it is in the old venue, m; for a direction a unit vector, or a far point where mirrors are on the way.</param>
/// <param name="Local">The same in the coordinates of the piece or volume, m.</param>
/// <param name="Via">Mirrors on the way, first met first.</param>
/// <param name="Why">Why that was taken.</param>
public sealed record Anchor(AnchorKind Kind, string Name, Vector3 Place, Vector3 Local, IReadOnlyList<string> Via, string Why)
{
    /// <summary>Length of the whole way from the lens to it in the old venue, over all mirrors, m; 0 for a direction.</summary>
    public float Length { get; init; }

    /// <summary>The axis in the old venue, m: the lens, where it turns on each mirror, and where it lands.</summary>
    public IReadOnlyList<Vector3> Way { get; init; } = [];

    /// <summary>In a few words.</summary>
    public string Text => (Kind switch
    {
        AnchorKind.Point or AnchorKind.Stated => Name,
        AnchorKind.Person => Name,
        AnchorKind.Crossing => "a crossing of beams",
        AnchorKind.Piece => $"on {Name}",
        AnchorKind.Audience => $"in {Name}",
        _ => "a direction",
    }) + (Via.Count > 0 ? $" by way of {string.Join(", then ", Via)}" : "");
}
