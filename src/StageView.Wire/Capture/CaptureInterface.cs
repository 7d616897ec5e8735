namespace StageView.Wire.Capture;

/// <summary>One interface of a pcapng section: its link type and the unit and offset of its time stamps.</summary>
/// <param name="LinkType">As registered.</param>
/// <param name="Resolution">if_tsresol: high bit clear 10^-n s, set 2^-n s.</param>
/// <param name="OffsetSeconds">if_tsoffset.</param>
internal readonly record struct CaptureInterface(int LinkType, byte Resolution, long OffsetSeconds)
{
    public const byte Microseconds = 6;

    /// <summary>A stamp in 100 ns since 1970.</summary>
    public long Ticks(ulong stamp)
    {
        var unit = Resolution & 0x7F;
        UInt128 ticks;
        if ((Resolution & 0x80) != 0)
        {
            ticks = unit > 63 ? 0 : ((UInt128)stamp * TimeSpan.TicksPerSecond) >> unit;
        }
        else
        {
            ticks = stamp;
            for (var i = unit; i < 7; i++)
            {
                ticks *= 10;
            }

            for (var i = 7; i < unit && ticks != 0; i++)
            {
                ticks /= 10;
            }
        }

        // Absurd stamps are bounded rather than refused: a century of seconds is more than any capture holds.
        var bounded = (long)UInt128.Min(ticks, (UInt128)long.MaxValue / 4);
        return bounded + (Math.Clamp(OffsetSeconds, -1L << 33, 1L << 33) * TimeSpan.TicksPerSecond);
    }
}
