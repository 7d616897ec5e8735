namespace StageView.Wire.Tallies;

/// <summary>Whether a source of a universe is heard.</summary>
public enum SourceStanding
{
    Live,

    /// <summary>Fell silent without saying so.</summary>
    Lost,

    /// <summary>Said that it ends.</summary>
    Ended,

    /// <summary>Sends preview data alone, which the settings refuse.</summary>
    Refused,
}
