using System.Globalization;

namespace StageView.Show.Video;

/// <summary>Frames a second as an exact fraction, so that frame 100,000 still has its exact time.</summary>
public readonly record struct FrameRate(int Numerator, int Denominator)
{
    public const string Help = "frames a second: 24, 25, 29.97, 30, 50, 59.94, 60 or a fraction such as 30000/1001";

    public double PerSecond => (double)Numerator / Denominator;

    /// <summary>As ffmpeg takes it.</summary>
    public override string ToString() => Denominator == 1 ? $"{Numerator}" : $"{Numerator}/{Denominator}";

    /// <summary>Reads a number or a fraction between 1 and 240; 23.976, 29.97, 47.952, 59.94 and 119.88 mean n × 1000/1001 (SMPTE ST 12-1 practice).</summary>
    public static bool TryParse(string text, out FrameRate rate)
    {
        rate = default;
        var parts = text.Split('/');
        if (parts.Length == 2)
        {
            return int.TryParse(parts[0], NumberStyles.None, CultureInfo.InvariantCulture, out var n)
                && int.TryParse(parts[1], NumberStyles.None, CultureInfo.InvariantCulture, out var d)
                && Accept(n, d, out rate);
        }

        if (!decimal.TryParse(text, NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out var value) || value is < 1 or > 240)
        {
            return false;
        }

        var whole = (int)Math.Ceiling(value);
        if (whole != value && Math.Abs(value - (whole * 1000m / 1001)) < 0.0005m)
        {
            return Accept(whole * 1000, 1001, out rate);
        }

        return decimal.Round(value, 3) == value && Accept((int)(value * 1000), 1000, out rate);
    }

    private static bool Accept(int n, int d, out FrameRate rate)
    {
        rate = default;
        if (d < 1 || n < d || n > 240L * d)
        {
            return false;
        }

        var (a, b) = (n, d);
        while (b != 0)
        {
            (a, b) = (b, a % b);
        }

        rate = new FrameRate(n / a, d / a);
        return true;
    }
}
