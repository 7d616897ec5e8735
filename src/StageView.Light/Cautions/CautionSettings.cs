using StageView.Light.Cautions.Lasers;

namespace StageView.Light.Cautions;

/// <summary>What is worth a caution. All are choices of the user's; local code and licensed practice decide.</summary>
public sealed record CautionSettings
{
    /// <summary>Beams below this are not listed, lx on a plane that faces them. Common practice, no source.</summary>
    public float LeastLux { get; init; } = 500;

    /// <summary>Exposure time for the lasers' limit, s.</summary>
    public double ExposureSeconds { get; init; } = LaserHazard.AversionSeconds;

    /// <summary>Laser rays that pass closer to a volume than this are listed, m (codes differ: 2 to 3 m are met; common practice, no source).</summary>
    public float LaserSeparation { get; init; } = 3;
}
