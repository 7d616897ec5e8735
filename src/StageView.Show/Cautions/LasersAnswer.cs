using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Cautions;
using StageView.Light.Cautions.Limits;
using StageView.Light.Moments;

namespace StageView.Show.Cautions;

/// <summary>The like apertures of one fixture, and what was seen of them. Distances in metres along the beam's whole way, mirrors included.</summary>
public sealed record LaserFigures
{
    /// <summary>The fixture's name.</summary>
    public required string Fixture { get; init; }

    public required FixtureIndex Index { get; init; }

    /// <summary>The aperture's name in the profile, of several the first.</summary>
    public required string Aperture { get; init; }

    /// <summary>How many apertures of the fixture are alike.</summary>
    public required int Apertures { get; init; }

    /// <summary>W at full, each aperture.</summary>
    public required double Watts { get; init; }

    /// <summary>nm.</summary>
    public required IReadOnlyList<float> Wavelengths { get; init; }

    /// <summary>Diameter at the aperture, m.</summary>
    public required double ApertureMetres { get; init; }

    /// <summary>Full divergence, rad.</summary>
    public required double DivergenceRadians { get; init; }

    /// <summary>Names of the figures seen; empty where the beam stood still.</summary>
    public required IReadOnlyList<string> Scans { get; init; }

    /// <summary>Most power seen while the beam was lit, W each aperture; 0 where it never was.</summary>
    public required double SeenWatts { get; init; }

    /// <summary>Hazard distance as seen: of the beam that stands still, or of the figure where it is the worst.</summary>
    public required double HazardDistance { get; init; }

    /// <summary>Hazard distance of the power seen should the scanners stop.</summary>
    public required double StillHazardDistance { get; init; }

    /// <summary>Hazard distance at full power without scanning.</summary>
    public required double FullHazardDistance { get; init; }

    /// <summary>The farthest hazard distance of what left a mirror, on the unfolded way; 0 where none met one.</summary>
    public required double MirrorHazardDistance { get; init; }

    /// <summary>The farthest hazard distance from a matt surface that it lit.</summary>
    public required double DiffuseHazardDistance { get; init; }
}

/// <summary>Where rays of like apertures end by one way on one surface; of all moments the one with the strongest exposure.</summary>
public sealed record LaserEnd
{
    /// <summary>Its number on the drawings, from 1.</summary>
    public required int Number { get; init; }

    public required string Fixture { get; init; }

    public required string Aperture { get; init; }

    /// <summary>Mirrors met on the way, the first first.</summary>
    public required IReadOnlyList<string> Mirrors { get; init; }

    /// <summary>What it ends on; empty where it meets nothing within 200 m.</summary>
    public required string Surface { get; init; }

    /// <summary>Whether it meets nothing.</summary>
    public bool IsOpen => Surface.Length == 0;

    /// <summary>Where its last leg begins, m.</summary>
    public required Vector3 From { get; init; }

    /// <summary>m.</summary>
    public required Vector3 Point { get; init; }

    /// <summary>Whole way from the aperture, m.</summary>
    public required double PathMetres { get; init; }

    /// <summary>Power that is left there while the beam is lit, W.</summary>
    public required double Watts { get; init; }

    /// <summary>Irradiance averaged over the beam while it is there, W/m².</summary>
    public required double Irradiance { get; init; }

    /// <summary>Exposure of an eye there over its limit.</summary>
    public required double ExposureRatio { get; init; }

    /// <summary>Hazard distance along the unfolded way, m.</summary>
    public required double HazardDistance { get; init; }

    /// <summary>Reflectance taken for the surface, 0 to 1: the largest of its red, green and blue.</summary>
    public required double Reflectance { get; init; }

    /// <summary>Distance from the surface inside which its scattered light exceeds the limit, m; 0 on an open end.</summary>
    public required double DiffuseHazardDistance { get; init; }

    /// <summary>A volume that lies within that distance, or empty.</summary>
    public required string VolumeInDiffuse { get; init; }

    /// <summary>From when to when, show time, s.</summary>
    public required IReadOnlyList<(double From, double To)> Times { get; init; }
}

/// <summary>Like apertures of a fixture against one volume; of all moments the worst of each figure.</summary>
public sealed record LaserOver
{
    public required string Fixture { get; init; }

    public required string Volume { get; init; }

    public required bool IsCrew { get; init; }

    /// <summary>Least height of a ray over the volume's floor, m; null where none passes over it.</summary>
    public required double? LeastHeight { get; init; }

    /// <summary>Least distance of a ray from the volume, m; 0 where one enters.</summary>
    public required double LeastSeparation { get; init; }

    /// <summary>Where that is, m.</summary>
    public required Vector3 Point { get; init; }

    /// <summary>Whether a ray enters.</summary>
    public required bool Enters { get; init; }

    /// <summary>Whether it enters, or passes closer than the limits for above and beside.</summary>
    public required bool IsListed { get; init; }

    /// <summary>Exposure over its limit where a ray first enters; 0 where none does.</summary>
    public required double ExposureRatio { get; init; }

    /// <summary>When it was listed, show time, s.</summary>
    public required IReadOnlyList<(double From, double To)> Times { get; init; }
}

/// <summary>A mirror that a ray could meet if the laser or the mirror turned, or now does.</summary>
/// <param name="Fixture">The laser.</param>
/// <param name="Mirror">The mirror.</param>
/// <param name="LaserTurns">Whether the laser turns, travels or scans.</param>
/// <param name="MirrorTurns">Whether what carries the mirror turns or travels.</param>
/// <param name="Metres">Distance from aperture to mirror, m, in the nearest position tried.</param>
/// <param name="IsMet">Whether a ray met it in the moments looked at.</param>
public sealed record LaserMirror(string Fixture, string Mirror, bool LaserTurns, bool MirrorTurns, double Metres, bool IsMet);

/// <summary>A time in which a fixture's lasers are on.</summary>
/// <param name="Fixture">Its name.</param>
/// <param name="From">Show time, s.</param>
/// <param name="To">Show time, s.</param>
/// <param name="Watts">Most power of all its apertures together, W.</param>
/// <param name="Pan">Lowest and highest pan, degrees; null without that axis.</param>
/// <param name="Tilt">Lowest and highest tilt, degrees; null without that axis.</param>
/// <param name="Scans">Figures drawn.</param>
public sealed record LaserTime(
    string Fixture, double From, double To, double Watts, (double From, double To)? Pan, (double From, double To)? Tilt, IReadOnlyList<string> Scans);

/// <summary>What lasers do over the moments looked at: reasons to look, never a verdict that something is safe.</summary>
public sealed record LasersAnswer
{
    /// <summary>Show times of the first and last moment, s, and how many there were.</summary>
    public required (double From, double To, int Count) Moments { get; init; }

    public required CautionLimits Limits { get; init; }

    /// <summary>Irradiance of a single exposure that lasers are held against, W/m².</summary>
    public required double IrradianceLimit { get; init; }

    /// <summary>All lasers of the rig, lit or not.</summary>
    public required IReadOnlyList<LaserFigures> Lasers { get; init; }

    public required IReadOnlyList<LaserEnd> Ends { get; init; }

    public required IReadOnlyList<LaserOver> Volumes { get; init; }

    public required IReadOnlyList<LaserMirror> Mirrors { get; init; }

    public required IReadOnlyList<LaserTime> Times { get; init; }

    public required IReadOnlyList<UncheckedThing> NotChecked { get; init; }

    /// <summary>Rays for drawings: of all moments, those that lie apart from each other; each with its hazard distance on the whole way, m.</summary>
    public required IReadOnlyList<(LaserBeam Leg, double HazardDistance)> Rays { get; init; }

    /// <summary>Rays that found no room in <see cref="Rays"/>.</summary>
    public required int RaysLeftOut { get; init; }

    /// <summary>Whether there is a reason to look: a ray in or near a volume, an end in the open, scattered light that reaches a volume.</summary>
    public bool Any => Volumes.Any(v => v.IsListed) || Ends.Any(e => e.IsOpen || e.VolumeInDiffuse.Length > 0);

    /// <summary>False when no laser shone, or the rig names no volumes: then "nothing found" must not be said.</summary>
    public bool AnythingChecked => Ends.Count > 0 && Volumes.Count > 0;
}
