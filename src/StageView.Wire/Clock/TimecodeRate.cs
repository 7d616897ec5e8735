namespace StageView.Wire.Clock;

/// <summary>Frame rates of SMPTE 12M timecode, numbered as ArtTimeCode numbers them.</summary>
public enum TimecodeRate
{
    Film24 = 0,
    Ebu25 = 1,

    /// <summary>30000/1001 frames a second, numbers ;00 and ;01 left out each minute but every tenth.</summary>
    Drop2997 = 2,

    Smpte30 = 3,
}
