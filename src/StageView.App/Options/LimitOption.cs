using System.CommandLine;
using System.Globalization;
using StageView.Light.Cautions.Limits;
using StageView.Rig.Source;
using StageView.Show;

namespace StageView.App.Options;

/// <summary><c>--limit KEY=VALUE</c>: from what on a caution check lists something, over what the rig file says.</summary>
internal sealed class LimitOption
{
    public Option<string[]> Option { get; } = new("--limit")
    {
        Description = "A limit of the caution checks, over the rig file's: one of " + string.Join(", ", CautionLimits.Settable.Select(l => l.Key))
            + ". May be given several times. Codes differ; use yours.",
        HelpName = "KEY=VALUE",
    };

    /// <summary>The rig's limits with those asked for in their place.</summary>
    /// <exception cref="StopException">No KEY=VALUE, no such limit, or out of its range.</exception>
    public CautionLimits Read(ParseResult parse, CautionLimits rig)
    {
        ArgumentNullException.ThrowIfNull(rig);
        foreach (var text in parse.GetValue(Option) ?? [])
        {
            rig = Set(rig, text);
        }

        return rig;
    }

    private static CautionLimits Set(CautionLimits limits, string text)
    {
        var at = text.IndexOf('=', StringComparison.Ordinal);
        if (at <= 0)
        {
            throw StopException.Wrong($"--limit {text}: write KEY=VALUE, such as flashes=3");
        }

        var key = text[..at].Trim();
        var keys = CautionLimits.Settable.Select(l => l.Key).ToList();
        var row = CautionLimits.Settable.FirstOrDefault(l => l.Key == key)
            ?? throw StopException.Wrong($"--limit {text}: there is no limit {key}"
                + (Nearest.Of(key, keys) is { } near ? $"; did you mean {near}?" : $"; there are {string.Join(", ", keys)}"));
        return double.TryParse(text[(at + 1)..], NumberStyles.Float, CultureInfo.InvariantCulture, out var value) && value >= row.From && value <= row.To
            && (key != "flashes" || value == Math.Floor(value))
                ? row.Set(limits, value)
                : throw StopException.Wrong($"--limit {text}: {key} takes {(key == "flashes" ? "a whole number, " : "")}{row.Range}");
    }
}
