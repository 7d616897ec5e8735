using System.CommandLine;
using System.Globalization;
using StageView.Light.Cautions.Limits;
using StageView.Show;

namespace StageView.App.Options;

/// <summary><c>--limit KEY=VALUE</c>: caution limits other than the rig file's.</summary>
internal sealed class LimitOption
{
    public Option<string[]> Option { get; } = new("--limit")
    {
        Description = "A caution limit other than the rig file's, such as laserHeight=4; may be given several times. Codes differ; use yours.",
        HelpName = "KEY=VALUE",
    };

    /// <summary>The limits with those that were named changed.</summary>
    /// <exception cref="StopException">No such limit, or out of its range.</exception>
    public CautionLimits Read(ParseResult parse, CautionLimits limits)
    {
        foreach (var text in parse.GetValue(Option) ?? [])
        {
            var at = text.IndexOf('=', StringComparison.Ordinal);
            var key = at < 0 ? text : text[..at];
            if (at < 0 || !double.TryParse(text[(at + 1)..], NumberStyles.Float, CultureInfo.InvariantCulture, out var value))
            {
                throw StopException.Wrong($"--limit {text}: write KEY=VALUE, such as laserHeight=4");
            }

            limits = limits.With(key, value) ?? throw StopException.Wrong(
                $"--limit {text}: there is no limit {key}; there are {string.Join(", ", CautionLimits.Settable.Select(r => r.Key))}");
            if (limits.Fault() is { } fault)
            {
                throw StopException.Wrong($"--limit {text}: {fault}");
            }
        }

        return limits;
    }
}
