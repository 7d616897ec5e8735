namespace StageView.Stage.State;

/// <summary>Chance that is the same on every machine and at every replay.</summary>
internal static class SeededChance
{
    /// <summary>0 to below 1: two rounds of a 64-bit mix (splitmix64's finaliser).</summary>
    public static float At(uint seed, long k)
    {
        var z = ((ulong)k * 0x9E3779B97F4A7C15UL) + seed + 0x632BE59BD9B4E019UL;
        z = (z ^ (z >> 30)) * 0xBF58476D1CE4E5B9UL;
        z = (z ^ (z >> 27)) * 0x94D049BB133111EBUL;
        z ^= z >> 31;
        return (z >> 40) / (float)(1 << 24);
    }

    /// <summary>
    /// Which of <paramref name="slots"/> a wheel shows that chooses anew <paramref name="hertz"/> times a second, counted from the show's start; from 1.
    /// </summary>
    public static int Slot(uint seed, double t, float hertz, int slots) =>
        slots <= 0 ? 0 : 1 + Math.Min(slots - 1, (int)(At(seed, (long)Math.Floor(t * hertz)) * slots));
}
