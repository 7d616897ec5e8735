using StageView.Ground.Indices;

namespace StageView.Stage.Moves;

/// <summary>One move of a fixture's axes, from rest to rest.</summary>
public sealed record FixtureMove
{
    /// <summary>Index in the rig.</summary>
    public required FixtureIndex Fixture { get; init; }

    public required string Name { get; init; }

    /// <summary>When it set off.</summary>
    public required TimeSpan Start { get; init; }

    /// <summary>When the console last changed where it shall go.</summary>
    public required TimeSpan LastCommand { get; init; }

    /// <summary>When it had arrived and settled.</summary>
    public required TimeSpan Arrival { get; init; }

    /// <summary>When it was first lit on the way; null for a move in the dark.</summary>
    public TimeSpan? LitFrom { get; init; }

    /// <summary>
    /// How long it was lit and not yet where it was told to be: from when it was lit and the console had done, to its arrival, s; 0 in the dark.
    /// </summary>
    public double LateSeconds { get; init; }

    /// <summary>Largest angle between the beam and where it was told to be while lit, degrees.</summary>
    public double OffDegrees { get; init; }

    /// <summary>The same for a winch, m.</summary>
    public double OffMetres { get; init; }

    /// <summary>How long the fixture had been dark before it was lit on this way, s.</summary>
    public double DarkBeforeSeconds { get; init; }

    /// <summary>For a move in the dark: from its arrival to the next light (or the end), s.</summary>
    public double SpareSeconds { get; init; }

    /// <summary>Whether it was lit on the way.</summary>
    public bool IsLit => LitFrom is not null;

    /// <summary>A lit move that would have fitted into the dark time before it.</summary>
    public bool WouldHaveFitted => IsLit && DarkBeforeSeconds >= (Arrival - Start).TotalSeconds;
}
