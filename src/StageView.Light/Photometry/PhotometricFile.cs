namespace StageView.Light.Photometry;

/// <summary>What a photometric file says.</summary>
public sealed record PhotometricFile
{
    /// <summary>The intensities, symmetric parts filled in, turned so that polar angle 0 is the beam's axis.</summary>
    public required PhotometricWeb Web { get; init; }

    /// <summary>Flux of the lamps as stated, lm; null for absolute photometry.</summary>
    public required double? LampLumens { get; init; }

    /// <summary>Electrical power, W.</summary>
    public required double Watts { get; init; }

    /// <summary>Keyword lines or named fields, in file order.</summary>
    public required IReadOnlyList<KeyValuePair<string, string>> Keywords { get; init; }

    /// <summary>
    /// Angle of tilt (degrees) and the factor for the candelas there; empty when the file has none. The web is as at the first angle with its factor applied.
    /// </summary>
    public IReadOnlyList<(double Degrees, double Factor)> TiltFactors { get; init; } = [];

    /// <summary>What was assumed or left out, one sentence each.</summary>
    public IReadOnlyList<string> Notes { get; init; } = [];
}
