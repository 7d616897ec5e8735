using System.Globalization;
using System.Text.RegularExpressions;
using StageView.Rig.Source;
using StageView.Wire.Clock;

namespace StageView.Stage.Cues;

/// <summary>Times of a cue file: seconds, minutes:seconds, bars and beats, or timecode.</summary>
/// <param name="Start">Timecode at the file's beginning.</param>
/// <param name="Tempo">How fast the music is, or null where the file doesn't say.</param>
internal sealed partial record CueClock(Timecode Start, CueTempo? Tempo)
{
    private double _offset;
    private bool _isSection;

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
        var tempo = CueTempo.Of(root);
        if (written?.Get("start") is { Kind: SourceKind.Text } start)
        {
            if (Timecode.TryParse(start.Text, rate, out var read))
            {
                return new CueClock(read, tempo);
            }

            problems.Error(start, $"\"{start.Text}\" is no timecode hh:mm:ss:ff at {TimecodeRateText.Of(rate)}");
        }

        return new CueClock(new Timecode(1, 0, 0, 0, rate), tempo);
    }

    /// <summary>The clock of a section that is played at a time, s: its times count from there, its bar 1 begins there.</summary>
    public CueClock At(double seconds) => this with { _offset = seconds, _isSection = true, Tempo = Tempo is null ? null : Tempo with { Start = 0 } };

    /// <summary>Seconds since the show's beginning; false with a problem noted where the text is no time.</summary>
    public bool TryRead(SourceNode value, ProblemList problems, out double seconds)
    {
        if (TryRead(value, out seconds))
        {
            return true;
        }

        problems.Error(value, $"is no time{Why(value)}: {Said()}");
        return false;
    }

    /// <summary>The same without a word.</summary>
    public bool TryRead(SourceNode value, out double seconds)
    {
        if (!TryReadOwn(value, out seconds))
        {
            return false;
        }

        seconds += _offset;
        return seconds is >= 0 and <= MaxSeconds;
    }

    /// <summary>How long something takes: seconds, or beats and bars where the file has a tempo.</summary>
    /// <param name="node">An object.</param>
    /// <param name="key">Its key.</param>
    /// <param name="otherwise">Where the key is not there or makes no sense, s.</param>
    /// <param name="problems">Told what makes no sense.</param>
    /// <returns>s.</returns>
    public double SecondsOr(SourceNode node, string key, double otherwise, ProblemList problems)
    {
        if (node.Get(key) is not { } value)
        {
            return otherwise;
        }

        if (value.Kind == SourceKind.Number)
        {
            return value.Number;
        }

        var written = LengthText().Match(value.Text);
        if (!written.Success)
        {
            problems.Error(value, $"is no length of time: seconds, or a text such as \"2 beats\" or \"1 bar\"");
            return otherwise;
        }

        if (Tempo is null)
        {
            problems.Error(value, $"\"{value.Text}\" needs to know how fast the music is: the file has no \"tempo\"");
            return otherwise;
        }

        var count = double.Parse(written.Groups[1].ValueSpan, CultureInfo.InvariantCulture);
        var seconds = count * Tempo.BeatSeconds * (written.Groups[2].Value == "bar" ? Tempo.BeatsPerBar : 1);
        if (seconds is > 0 and <= 3600)
        {
            return seconds;
        }

        problems.Error(value, $"is {seconds:0.###} s: more than 0 and at most an hour");
        return otherwise;
    }

    private string Why(SourceNode value) =>
        Tempo is null && value.Kind == SourceKind.Text && value.Text.StartsWith("bar ", StringComparison.Ordinal) ? ", since the file has no \"tempo\"" : "";

    private string Said()
    {
        var bars = Tempo is null ? "" : ", bars and beats such as \"bar 17 beat 3\"";
        return _isSection
            ? $"in a section seconds or minutes:seconds from where it is played{bars}"
            : $"seconds, minutes:seconds such as \"1:02.5\"{bars}, or timecode such as \"{Start}\" at {TimecodeRateText.Of(Start.Rate)}"
              + " and not before the show's start";
    }

    /// <summary>Before the section's own place is added.</summary>
    private bool TryReadOwn(SourceNode value, out double seconds)
    {
        seconds = value.Number;
        if (value.Kind == SourceKind.Number)
        {
            return seconds >= 0;
        }

        var text = value.Kind == SourceKind.Text ? value.Text.Trim() : "";
        if (!_isSection && Timecode.TryParse(text, Start.Rate, out var timecode))
        {
            seconds = (timecode.FrameNumber - Start.FrameNumber) * Timecode.FrameSeconds(Start.Rate);
            return seconds >= 0;
        }

        if (Tempo is not null && BarText().Match(text) is { Success: true } bar)
        {
            return Tempo.TryFind(bar.Groups[1].ValueSpan, bar.Groups[2].ValueSpan, out seconds);
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

        return true;
    }

    [GeneratedRegex(@"^bar (\d{1,6})(?: beat (\d{1,3}(?:\.\d{1,6})?))?$")]
    private static partial Regex BarText();

    [GeneratedRegex(@"^(\d{1,6}(?:\.\d{1,6})?) (beat|bar)s?$")]
    private static partial Regex LengthText();
}
