using System.CommandLine;
using System.Globalization;
using StageView.Light.Cautions.Limits;
using StageView.Show;

namespace StageView.App.Options;

/// <summary><c>--limit KEY=VALUE</c>: caution limits of a command line over those of the rig file.</summary>
internal sealed class LimitOption
{
    public Option<string[]> Option { get; } = new("--limit")
    {
        Description = "Another limit than the rig file's, such as least=1000 or laserHeight=3.5; may be given several times. Codes differ; use yours. Keys: "
            + string.Join(", ", CautionLimits.Settable.Select(l => l.Key)) + ".",
        HelpName = "KEY=VALUE",
    };

    /// <summary>The rig's limits with those of the command line.</summary>
    /// <exception cref="StopException">A key isn't one, or a value is no number or out of its range.</exception>
    public CautionLimits Read(ParseResult parse, CautionLimits rig)
    {
        var limits = rig;
        foreach (var text in parse.GetValue(Option) ?? [])
        {
            var parts = text.Split('=', 2);
            if (parts.Length != 2 || !double.TryParse(parts[1], NumberStyles.Float, CultureInfo.InvariantCulture, out var value) || !double.IsFinite(value))
            {
                throw StopException.Wrong($"--limit {text} is none: write KEY=VALUE, such as least=1000");
            }

            limits = limits.With(parts[0], value) ?? throw StopException.Wrong(
                $"--limit {text}: there is no limit \"{parts[0]}\"; there are " + string.Join(", ", CautionLimits.Settable.Select(l => l.Key)));
            if (limits.Fault() is { } fault)
            {
                throw StopException.Wrong($"--limit {text}: {fault}");
            }
        }

        return limits;
    }
}
