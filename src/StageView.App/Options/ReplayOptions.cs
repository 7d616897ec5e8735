using System.CommandLine;
using System.Globalization;
using System.Text;
using StageView.Show;
using StageView.Show.Sources;
using StageView.Wire.Capture;
using StageView.Wire.Universes;

namespace StageView.App.Options;

/// <summary>What of a capture is sent again, and as whose.</summary>
internal sealed class ReplayOptions
{
    private readonly Option<string?> _from = new("--from")
    {
        Description = "Where to begin, with the levels of then: " + ShowTime.Help + ".",
        HelpName = "TIME"
    };
    private readonly Option<string?> _until = new("--until") { Description = "Where to end, written as for --from.", HelpName = "TIME" };
    private readonly Option<string?> _universes = new("--universes")
    {
        Description = "These alone, such as 1-4,9; Art-Net's port-address 0 is universe 1. Timecode is always sent.", HelpName = "RANGES",
    };

    private readonly Option<string?> _times = new("--times") { Description = "Send it so often, one after another; \"on\" until Ctrl+C.", HelpName = "N|on" };
    private readonly Option<double> _speed = new("--speed")
    {
        Description = "How many times faster than it was recorded.", HelpName = "N", DefaultValueFactory = _ => 1,
    };

    private readonly Option<int?> _priority = new("--priority") { Description = "sACN priority, 0 to 200, in place of the recorded ones.", HelpName = "N" };
    private readonly Option<string?> _name = new("--name")
    {
        Description = "sACN source name in place of the recorded ones, with a CID of its own, so that it isn't taken for the desk that was recorded.",
        HelpName = "NAME",
    };

    public void AddTo(Command command)
    {
        foreach (var option in new Option[] { _from, _until, _universes, _times, _speed, _priority, _name })
        {
            command.Add(option);
        }
    }

    /// <exception cref="StopException">Something can't be meant so.</exception>
    public ReplayPart Read(ParseResult parse, string file)
    {
        var times = new CaptureTimes(file, () => CaptureTrack.Of(file));
        var from = parse.GetValue(_from) is { } f ? times.Find(f) : TimeSpan.Zero;
        var until = parse.GetValue(_until) is { } u ? times.Find(u) : (TimeSpan?)null;
        if (until <= from)
        {
            throw StopException.Wrong(string.Create(CultureInfo.InvariantCulture,
                $"--until {parse.GetValue(_until)}: lies at {until.Value.TotalSeconds:0.###} s, not after the beginning at {from.TotalSeconds:0.###} s"));
        }

        var speed = parse.GetValue(_speed);
        if (speed is not (> 0 and <= 1000))
        {
            throw StopException.Wrong(string.Create(CultureInfo.InvariantCulture, $"--speed {speed}: must be above 0 and at most 1000"));
        }

        if (parse.GetValue(_priority) is < 0 or > 200)
        {
            throw StopException.Wrong(string.Create(CultureInfo.InvariantCulture, $"--priority {parse.GetValue(_priority)}: must be 0 to 200 (E1.31)"));
        }

        if (parse.GetValue(_name) is { } name && (name.Length == 0 || Encoding.UTF8.GetByteCount(name) > 63 || name.Any(char.IsControl)))
        {
            throw StopException.Wrong("--name: must be 1 to 63 bytes of plain text (E1.31)");
        }

        return new ReplayPart
        {
            From = from, Until = until, Speed = speed, Priority = (byte?)parse.GetValue(_priority), SourceName = parse.GetValue(_name),
            Times = Times(parse.GetValue(_times)),
            Universes = parse.GetValue(_universes) is { } ranges ? Ranges(ranges) : null,
        };
    }

    private static int Times(string? text) => text switch
    {
        null => 1,
        "on" => 0,
        _ when int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var n) && n >= 1 => n,
        _ => throw StopException.Wrong($"--times {text}: write a whole number from 1, or on"),
    };

    private static HashSet<int> Ranges(string text)
    {
        var found = new HashSet<int>();
        foreach (var part in text.Split(',', StringSplitOptions.TrimEntries))
        {
            var ends = part.Split('-', 2, StringSplitOptions.TrimEntries);
            if (!int.TryParse(ends[0], NumberStyles.None, CultureInfo.InvariantCulture, out var from)
                || !int.TryParse(ends[^1], NumberStyles.None, CultureInfo.InvariantCulture, out var to) || !UniverseNumber.IsValid(from)
                    || !UniverseNumber.IsValid(to) || to < from)
            {
                throw StopException.Wrong($"--universes {text}: '{part}' is no universe and no range of them, such as 4 or 1-4");
            }

            found.UnionWith(Enumerable.Range(from, to - from + 1));
        }

        return found;
    }
}
