using System.Numerics;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;

namespace StageView.Show.Refocus;

/// <summary>What one position asks, and all ways to answer it.</summary>
/// <param name="Position">The position.</param>
/// <param name="Anchor">What it is for.</param>
/// <param name="Target">Where that is in the new venue, m.</param>
/// <param name="Solver">Of the new venue's moment.</param>
internal sealed record PositionProblem(HeldPosition Position, Anchor Anchor, Vector3 Target, HeadSolver Solver)
{
    /// <summary>The fixture in the new venue; null where it isn't there.</summary>
    public Fixture? Fixture { get; init; }

    /// <summary>Where it hangs, by what carries it.</summary>
    public Pose Root { get; init; }

    /// <summary>Where it hung.</summary>
    public Pose OldRoot { get; init; }

    public IReadOnlyList<Candidate> Ways { get; init; } = [];

    /// <summary>Why there is no way, or what is to be said of it.</summary>
    public string Why { get; init; } = "";

    /// <summary>Length of the old way, m; 0 for a direction.</summary>
    public float OldWay { get; init; }

    /// <summary>The old beam angle, rad; null without a beam.</summary>
    public float? Zoom { get; init; }

    /// <summary>How far behind the lens the old beam's apex lies, m.</summary>
    public float Apex { get; init; }

    /// <summary>Solves heads of the old venue at the same time; made when it is asked for.</summary>
    public Lazy<HeadSolver>? Before { get; init; }

    /// <summary>Whether nothing that matters is another.</summary>
    public bool Stays { get; init; }

    /// <summary>The time at which it is looked at.</summary>
    public TimeSpan At { get; init; }

    /// <summary>All positions that are looked at then.</summary>
    public IReadOnlyList<HeldPosition> Held { get; init; } = [];

    /// <summary>A mirror that has to turn for it; null where all stand as the levels say.</summary>
    public MirrorTurn? Turned { get; init; }

    // Each is one of its own: records would compare all positions.
    public bool Equals(PositionProblem? other) => ReferenceEquals(this, other);

    public override int GetHashCode() => System.Runtime.CompilerServices.RuntimeHelpers.GetHashCode(this);
}
