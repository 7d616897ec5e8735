using System.Diagnostics.CodeAnalysis;
using System.Globalization;

namespace StageView.Show.Sources;

/// <summary>How a moment is named on the command line: seconds, minutes:seconds, a timecode or a cue.</summary>
public abstract record ShowTime
{
    /// <summary>What help says of it.</summary>
    public const string Help =
        "seconds (12.5), minutes:seconds (1:02.5), tc:HH:MM:SS:FF for a timecode of the capture, or cue:NAME for a time named in the cue file beside it";

    private ShowTime()
    {
    }

    /// <exception cref="StopException">The text is no time.</exception>
    public static ShowTime Parse(string text) => TryParse(text, out var time) ? time : throw StopException.Wrong($"{text} is no time: write {Help}");

    public static bool TryParse(string text, [NotNullWhen(true)] out ShowTime? time)
    {
        time = null;
        if (text.StartsWith("cue:", StringComparison.Ordinal) && text.Length > 4)
        {
            time = new Cue(text[4..]);
        }
        else if (text.StartsWith("tc:", StringComparison.Ordinal) && text.Length > 3)
        {
            time = new Timecode(text[3..]);
        }
        else if (TrySeconds(text, out var seconds))
        {
            time = new Clock(TimeSpan.FromSeconds(seconds));
        }

        return time is not null;
    }

    /// <summary>Reads <c>[[h:]m:]s[.fff]</c>; at most 100 hours.</summary>
    public static bool TrySeconds(string text, out double seconds)
    {
        seconds = 0;
        var parts = text.Split(':');
        if (parts.Length > 3)
        {
            return false;
        }

        for (var i = 0; i < parts.Length; i++)
        {
            var last = i == parts.Length - 1;
            var style = last ? NumberStyles.AllowDecimalPoint : NumberStyles.None;
            if (!double.TryParse(parts[i], style, CultureInfo.InvariantCulture, out var part)
                || !double.IsFinite(part) || (i > 0 && part >= 60))
            {
                return false;
            }

            seconds = (seconds * 60) + part;
        }

        return seconds <= 360_000;
    }

    /// <summary>Show time since the start of the capture or of listening.</summary>
    public sealed record Clock(TimeSpan At) : ShowTime;

    /// <summary>Timecode as written, resolved against the capture.</summary>
    public sealed record Timecode(string Text) : ShowTime;

    /// <summary>A named time of the cue file.</summary>
    public sealed record Cue(string Name) : ShowTime;
}
