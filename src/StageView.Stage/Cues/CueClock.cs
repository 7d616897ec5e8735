using System.Globalization;
using StageView.Rig.Source;
using StageView.Wire.Clock;

namespace StageView.Stage.Cues;

/// <summary>Times of a cue file: seconds, minutes:seconds, or timecode.</summary>
/// <param name="Start">Timecode at the file's beginning.</param>
internal sealed record CueClock(Timecode Start)
{
    /// <summary>Longest show, s.</summary>
    public const double MaxSeconds = 86_400;

    private static readonly Dictionary<string, TimecodeRate> Rates = new(StringComparer.Ordinal)
    {
        ["24"] = TimecodeRate.Film24, ["25"] = TimecodeRate.Ebu25, ["29.97 drop"] = TimecodeRate.Drop2997, ["30"] = TimecodeRate.Smpte30,
    };

    public static IReadOnlyList<string> RateWords { get; } = [.. Rates.Keys];

    /// <summary>One hour at 25 frames a second where the file says nothing.</summary>
    public static CueClock Of(SourceNode root, ProblemList problems)
    {
        var written = root.Get("timecode");
        var rate = Rates.GetValueOrDefault(written?.TextOr("rate", "25") ?? "25", TimecodeRate.Ebu25);
        if (written?.Get("start") is { Kind: SourceKind.Text } start)
        {
            if (Timecode.TryParse(start.Text, rate, out var read))
            {
                return new CueClock(read);
            }

            problems.Error(start, $"\"{start.Text}\" is no timecode hh:mm:ss:ff at {TimecodeRateText.Of(rate)}");
        }

        return new CueClock(new Timecode(1, 0, 0, 0, rate));
    }

    /// <summary>Seconds since the beginning; false with a problem noted where the text is no time.</summary>
    public bool TryRead(SourceNode value, ProblemList problems, out double seconds)
    {
        if (TryRead(value, out seconds))
        {
            return true;
        }

        problems.Error(value, $"is no time: seconds, minutes:seconds such as \"1:02.5\", or timecode such as \"{Start}\" at {TimecodeRateText.Of(Start.Rate)}"
            + " and not before the show's start");
        return false;
    }

    public bool TryRead(SourceNode value, out double seconds)
    {
        seconds = value.Number;
        if (value.Kind == SourceKind.Number)
        {
            return seconds is >= 0 and <= MaxSeconds;
        }

        var text = value.Kind == SourceKind.Text ? value.Text.Trim() : "";
        if (Timecode.TryParse(text, Start.Rate, out var timecode))
        {
            seconds = (timecode.FrameNumber - Start.FrameNumber) * Timecode.FrameSeconds(Start.Rate);
            return seconds >= 0;
        }

        var parts = text.Split(':');
        if (parts.Length is < 1 or > 2 || !double.TryParse(parts[^1], NumberStyles.AllowDecimalPoint, CultureInfo.InvariantCulture, out seconds))
        {
            return false;
        }

        if (parts.Length == 2)
        {
            if (seconds >= 60 || !int.TryParse(parts[0], NumberStyles.None, CultureInfo.InvariantCulture, out var minutes))
            {
                return false;
            }

            seconds += 60.0 * minutes;
        }

        return seconds <= MaxSeconds;
    }
}
