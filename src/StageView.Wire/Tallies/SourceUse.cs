namespace StageView.Wire.Tallies;

/// <summary>What the merge does with a source's levels.</summary>
public enum SourceUse
{
    /// <summary>Heard, and in force at some address.</summary>
    InForce,

    /// <summary>No longer heard, but no source of the universe is: the last levels are held, its own among them.</summary>
    Held,

    /// <summary>Heard, and in force nowhere.</summary>
    Ignored,

    /// <summary>No longer heard, and in force nowhere.</summary>
    Gone,
}
