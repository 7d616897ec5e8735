namespace StageView.Wire.Levels;

/// <summary>What decides between sources of equal priority, address by address.</summary>
public enum TieRule
{
    /// <summary>The highest level takes precedence.</summary>
    Htp,

    /// <summary>The latest to have changed its level takes precedence.</summary>
    Ltp,
}
