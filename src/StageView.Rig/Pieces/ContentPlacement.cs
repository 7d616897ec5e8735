using System.Numerics;
using StageView.Ground.Indices;
using StageView.Rig.Source;

namespace StageView.Rig.Pieces;

/// <summary>How content and the levels from the wire make one pixel.</summary>
public enum ContentMix
{
    /// <summary>Whichever is higher, component by component.</summary>
    Highest,

    /// <summary>Their sum.</summary>
    Add,

    /// <summary>The levels where they are above zero, else the content.</summary>
    LevelsOver,
}

/// <summary>What a surface shows while it is turned away from where content is thrown from.</summary>
public enum FacingAway
{
    /// <summary>Nothing of the content.</summary>
    Dark,

    /// <summary>What falls on its place, which is mirrored as seen from its own front.</summary>
    Mirrored,

    /// <summary>What it has at rest.</summary>
    Hold,
}

/// <summary>Which time content follows from its start on.</summary>
public enum ContentClock
{
    /// <summary>Show time.</summary>
    Show,

    /// <summary>Timecode: it jumps with it, and holds while it stands.</summary>
    Timecode,
}

/// <summary>
/// An image, an image sequence or a video laid over pixel surfaces: by a fixed map, or thrown along the normal of a rectangle in the stage's own space onto the
/// surfaces where they are.
/// </summary>
public sealed record ContentPlacement
{
    public required string Name { get; init; }

    /// <summary>Image, image sequence (<c>frames/%05d.png</c>) or video, from the rig file's folder, as written.</summary>
    public required string File { get; init; }

    /// <summary>The same, resolved.</summary>
    public required string FullPath { get; init; }

    /// <summary>A picture that comes in live instead of a file; null for a file.</summary>
    public ContentInput? Input { get; init; }

    /// <summary>Name of the fixed map that places it; null where it is thrown.</summary>
    public string? Map { get; init; }

    /// <summary>What a surface that is turned away shows where it is thrown.</summary>
    public FacingAway FacingAway { get; init; }

    /// <summary>The timecode of its first frame, <c>HH:MM:SS:FF</c>; null where <see cref="Start"/> says it.</summary>
    public string? StartTimecode { get; init; }

    /// <summary>The time that it follows; <see cref="ContentClock.Timecode"/> only with a <see cref="StartTimecode"/>.</summary>
    public ContentClock Clock { get; init; }

    /// <summary>Time within the content that shows at the start.</summary>
    public TimeSpan Offset { get; init; }

    /// <summary>Seconds of content in a second of show.</summary>
    public double Pace { get; init; } = 1;

    /// <summary>The rectangle's corner that the content's top left pixel takes, world m.</summary>
    public Vector3 Corner { get; init; }

    /// <summary>From there along the content's top edge, m.</summary>
    public Vector3 Across { get; init; } = Vector3.UnitX;

    /// <summary>From there down the content's left edge, m.</summary>
    public Vector3 Down { get; init; } = -Vector3.UnitZ;

    /// <summary>Luminance of the content's full white, cd/m²; 0 where it is thrown through fixtures.</summary>
    public required float Luminance { get; init; }

    /// <summary>Show time of the content's first frame; before it there is no content. Single images show from then on.</summary>
    public TimeSpan Start { get; init; }

    /// <summary>Whether it starts anew after its last frame; otherwise it is gone then.</summary>
    public bool Repeat { get; init; }

    /// <summary>Frames a second of an image sequence; videos bring their own.</summary>
    public float SequenceRate { get; init; } = 25;

    public ContentMix Mix { get; init; }

    /// <summary>Fixtures whose lamps throw it from their gates, as projectors do; then it lies on no surface.</summary>
    public IReadOnlyList<FixtureIndex> Through { get; init; } = [];

    /// <summary>Fixtures whose surfaces take it; empty for all.</summary>
    public IReadOnlyList<FixtureIndex> Fixtures { get; init; } = [];

    /// <summary>Where it was written, for messages; null for one that no file holds.</summary>
    public SourcePlace? Source { get; init; }
}
