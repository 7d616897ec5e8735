namespace StageView.Rig.Sheets;

/// <summary>What is known of a fixture that has no file: from its data sheet, or assumed.</summary>
public sealed record DataSheet
{
    public required string Name { get; init; }

    /// <summary>Photometric file, or null.</summary>
    public Stated<string>? Photometry { get; init; }

    /// <summary>lm; null for the photometric file's.</summary>
    public Stated<float>? Lumens { get; init; }

    /// <summary>Whether the edge is soft.</summary>
    public required Stated<bool> IsSoft { get; init; }

    /// <summary>Full beam angle, narrowest and widest, degrees.</summary>
    public required Stated<(float From, float To)> Beam { get; init; }

    /// <summary>Full field angle, narrowest and widest, degrees.</summary>
    public required Stated<(float From, float To)> Field { get; init; }

    /// <summary>K.</summary>
    public required Stated<float> Kelvin { get; init; }

    /// <summary>m.</summary>
    public required Stated<float> LensRadius { get; init; }

    /// <summary>Degrees; null where it doesn't pan.</summary>
    public Stated<(float From, float To)>? Pan { get; init; }

    public Stated<(float From, float To)>? Tilt { get; init; }

    /// <summary>deg/s.</summary>
    public required Stated<float> PanSpeed { get; init; }

    public required Stated<float> TiltSpeed { get; init; }

    /// <summary>Names; empty for one white source.</summary>
    public required Stated<IReadOnlyList<string>> Emitters { get; init; }

    /// <summary>kg.</summary>
    public Stated<float>? Weight { get; init; }

    /// <summary>W.</summary>
    public Stated<float>? Power { get; init; }

    /// <summary>What drives it, as a data sheet lists it.</summary>
    public required Stated<string> Channels { get; init; }

    public bool Zooms => Beam.Value.To > Beam.Value.From;

    public bool Moves => Pan is not null || Tilt is not null;
}
