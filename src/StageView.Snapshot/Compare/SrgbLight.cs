namespace StageView.Snapshot.Compare;

/// <summary>Light of a level of sRGB (IEC 61966-2-1).</summary>
internal static class SrgbLight
{
    /// <param name="level">0 to 255.</param>
    /// <returns>0 to 1.</returns>
    public static double Of(double level)
    {
        var s = level / 255;
        return s <= 0.04045 ? s / 12.92 : Math.Pow((s + 0.055) / 1.055, 2.4);
    }
}
