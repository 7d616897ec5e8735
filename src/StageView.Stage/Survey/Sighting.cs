using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Source;

namespace StageView.Stage.Survey;

/// <summary>A head whose beam's middle was put on a mark.</summary>
public sealed record Sighting
{
    public required Fixture Fixture { get; init; }

    /// <summary>The part whose place it tells of.</summary>
    public required RigPart Part { get; init; }

    /// <summary>Name of the mark.</summary>
    public required string Mark { get; init; }

    /// <summary>Where the mark is, world, m.</summary>
    public required Vector3d At { get; init; }

    /// <summary>Pan and tilt of the axes, degrees; null when they are to be taken from a capture.</summary>
    public (double Pan, double Tilt)? Read { get; init; }

    /// <summary>When it stood there in the capture, as written; empty where the file doesn't say.</summary>
    public string Time { get; init; } = "";

    /// <summary>Where it is written.</summary>
    public required SourcePlace Place { get; init; }
}
