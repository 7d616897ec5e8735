using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Stage.Survey;

namespace StageView.Show.Survey;

/// <summary>What is asked of a survey.</summary>
public sealed record SurveyAsked
{
    /// <summary>The rig file.</summary>
    public required string Rig { get; init; }

    /// <summary>A venue file laid over it, or null.</summary>
    public string? Venue { get; init; }

    /// <summary>The marks file.</summary>
    public required string Marks { get; init; }

    /// <summary>A capture to take pan and tilt from, or null.</summary>
    public string? Capture { get; init; }

    /// <summary>The time in the capture of sightings that name none; null for its end.</summary>
    public string? At { get; init; }

    public AngleSpread Spread { get; init; } = AngleSpread.Default;
}

/// <summary>Whether a part's place is known.</summary>
public enum SurveyState
{
    Known,

    /// <summary>The sightings contradict each other.</summary>
    Doubtful,

    /// <summary>The sightings can't tell.</summary>
    Weak,
}

/// <summary>A sighting with the pan and tilt that were used, degrees.</summary>
public sealed record UsedSighting(Sighting Sighting, double Pan, double Tilt);

/// <summary>Where one part really hangs.</summary>
public sealed record SurveyedPart
{
    public required RigPart Part { get; init; }

    public required IReadOnlyList<UsedSighting> Sightings { get; init; }

    public required SurveyState State { get; init; }

    /// <summary>Why it isn't known; empty where it is.</summary>
    public string Why { get; init; } = "";

    /// <summary>What would cure it; empty where it is known.</summary>
    public string Cure { get; init; } = "";

    /// <summary>Null where there were too few sightings to try.</summary>
    public PoseFit? Fit { get; init; }

    /// <summary>Place of the worst sighting among the part's, or -1 where they fit.</summary>
    public int Worst { get; init; } = -1;

    public int Heads => Sightings.Select(s => s.Sighting.Fixture.Index).Distinct().Count();

    /// <summary>Standard deviations of the middle's place along x, y, z (m) and of the turn about x, y, z (degrees); null where they stay open.</summary>
    public (Vector3d Metres, Vector3d Degrees)? Deviations => Fit?.Covariance is not { } c ? null
        : (new Vector3d(Math.Sqrt(c[0, 0]), Math.Sqrt(c[1, 1]), Math.Sqrt(c[2, 2])),
            new Vector3d(Math.Sqrt(c[3, 3]), Math.Sqrt(c[4, 4]), Math.Sqrt(c[5, 5])) * (180 / Math.PI));
}

/// <summary>Where the surveyed parts of a rig really hang.</summary>
/// <param name="Rig">The rig as its file, and the venue's, has it.</param>
/// <param name="Name">What was surveyed.</param>
/// <param name="Parts">In the order of the rig file.</param>
public sealed record SurveyAnswer(RigScene Rig, string Name, IReadOnlyList<SurveyedPart> Parts)
{
    public IReadOnlyList<SurveyedPart> Known => [.. Parts.Where(p => p.State == SurveyState.Known)];

    public bool AllKnown => Parts.Count > 0 && Parts.All(p => p.State == SurveyState.Known);
}
