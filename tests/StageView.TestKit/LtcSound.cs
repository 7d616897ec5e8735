namespace StageView.TestKit;

/// <summary>Sound of linear timecode as SMPTE 12M lays out its 80 bits: biphase mark, a square wave without its rise.</summary>
public static class LtcSound
{
    public const int SampleRate = 48_000;

    /// <param name="first">Frames since midnight of the first label.</param>
    /// <param name="frames">How many.</param>
    /// <param name="rate">Frames a second: 24, 25 or 30.</param>
    /// <param name="level">Peak, 0 to 1.</param>
    public static float[] Of(int first, int frames, int rate = 25, float level = .5f)
    {
        List<float> sound = [];
        var half = SampleRate / (160.0 * rate);
        var (sign, halves) = (-1, 0L);
        void Half(bool change)
        {
            sign = change ? -sign : sign;
            halves++;
            while (sound.Count < Math.Round(halves * half))
            {
                sound.Add(sign * level);
            }
        }

        for (var n = first; n < first + frames; n++)
        {
            foreach (var bit in Bits(n / rate / 3600 % 24, n / rate / 60 % 60, n / rate % 60, n % rate))
            {
                Half(true);
                Half(bit);
            }
        }

        // What ends the last bit.
        Half(true);
        return [.. sound];
    }

    /// <summary>A WAV file of it, one channel of 16 bits.</summary>
    public static void Write(string path, ReadOnlySpan<float> sound)
    {
        using var file = new BinaryWriter(File.Create(path));
        file.Write("RIFF"u8);
        file.Write(36 + (2 * sound.Length));
        file.Write("WAVEfmt "u8);
        file.Write(16);
        file.Write((short)1);
        file.Write((short)1);
        file.Write(SampleRate);
        file.Write(2 * SampleRate);
        file.Write((short)2);
        file.Write((short)16);
        file.Write("data"u8);
        file.Write(2 * sound.Length);
        foreach (var s in sound)
        {
            file.Write((short)(s * 32767));
        }
    }

    private static bool[] Bits(int hours, int minutes, int seconds, int frames)
    {
        var bits = new bool[80];
        void Field(int at, int count, int value)
        {
            for (var i = 0; i < count; i++)
            {
                bits[at + i] = ((value >> i) & 1) != 0;
            }
        }

        Field(0, 4, frames % 10);
        Field(8, 2, frames / 10);
        Field(16, 4, seconds % 10);
        Field(24, 3, seconds / 10);
        Field(32, 4, minutes % 10);
        Field(40, 3, minutes / 10);
        Field(48, 4, hours % 10);
        Field(56, 2, hours / 10);
        Field(64, 16, 0xBFFC);
        return bits;
    }
}
