namespace StageView.Wire.Levels;

/// <summary>The sequence rule (E1.31 §6.7.2): with A the last number and B this one, discard if -20 &lt; (signed 8 bit)(B - A) &lt;= 0.</summary>
internal static class SequenceCheck
{
    /// <summary>How far ahead of the last number this one is: 1 is the next, 0 a duplicate, -19 to -1 late; anything else is a new start or a gap.</summary>
    public static int Step(byte last, byte now) => (sbyte)(byte)(now - last);

    /// <summary>Art-Net's numbers run 1 to 255 and never 0 (which switches the check off), so they wrap at 255.</summary>
    public static int ArtNetStep(byte last, byte now)
    {
        var step = now - last;
        return step > 127 ? step - 255 : step < -127 ? step + 255 : step;
    }

    public static bool Discards(int step) => step is > -20 and <= 0;
}
