namespace StageView.Show.Refocus;

/// <summary>What becomes of a part of a spot's cone.</summary>
public enum ConeEffect
{
    /// <summary>Something stands before the anchor.</summary>
    Shaded,

    /// <summary>It enters a volume of the audience.</summary>
    Audience,

    /// <summary>It enters a volume of the crew.</summary>
    Crew,

    /// <summary>It misses a mirror that the axis meets.</summary>
    PastMirror,
}

/// <summary>A part of a spot's cone that does not simply reach its anchor.</summary>
/// <param name="What">Name of what shades it, of the volume, or of the mirror.</param>
/// <param name="Effect">What becomes of it.</param>
/// <param name="Share">Share of the cone's solid angle in the new venue, 0 to 1; of 37 rays.</param>
/// <param name="Before">The same in the old venue.</param>
public sealed record ConeRow(string What, ConeEffect Effect, double Share, double Before)
{
    /// <summary>Growth below this is none: less than one ray of the cone.</summary>
    private const double Least = .005;

    /// <summary>Whether it is more than in the old venue.</summary>
    public bool IsMore => Share > Before + Least;
}
