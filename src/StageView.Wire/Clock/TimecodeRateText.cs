namespace StageView.Wire.Clock;

/// <summary>A rate as a reader writes it.</summary>
public static class TimecodeRateText
{
    public static string Of(TimecodeRate rate) => rate switch
    {
        TimecodeRate.Film24 => "24 frames/s",
        TimecodeRate.Ebu25 => "25 frames/s",
        TimecodeRate.Drop2997 => "29.97 frames/s, drop",
        _ => "30 frames/s",
    };
}
