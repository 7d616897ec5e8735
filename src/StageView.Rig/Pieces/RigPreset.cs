using StageView.Light.Moments;

namespace StageView.Rig.Pieces;

/// <summary>Another haze or exposure for the same rig.</summary>
public sealed record RigPreset
{
    public required string Name { get; init; }

    public Haze? Haze { get; init; }

    /// <summary>Added to every camera's EV100.</summary>
    public float EvStep { get; init; }

    /// <summary>The camera to show first, or empty.</summary>
    public string Camera { get; init; } = "";

    /// <summary>The rig as this preset wants it.</summary>
    public RigScene ApplyTo(RigScene rig)
    {
        ArgumentNullException.ThrowIfNull(rig);
        return rig with
        {
            Haze = Haze ?? rig.Haze,
            Cameras = [.. rig.Cameras.OrderBy(c => c.Name == Camera ? 0 : 1).Select(c => c with { Ev100 = c.Ev100 + EvStep })],
        };
    }
}
