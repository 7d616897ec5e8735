using System.Globalization;
using StageView.Show.Frames;
using StageView.Show.Sources;
using StageView.Snapshot.Frames;
using StageView.Stage.Changes;

namespace StageView.Show.Snap;

/// <summary>A time to take, with the name its frames get.</summary>
/// <param name="At">Show time.</param>
/// <param name="Label">The name.</param>
/// <param name="Why">In words.</param>
/// <param name="Change">Number of the change that it shows, 0 for the look before the first; null where a time was asked for.</param>
/// <param name="Part">What of the change it shows, or null.</param>
internal sealed record SnapTime(TimeSpan At, string Label, string Why, int? Change = null, string? Part = null)
{
    /// <summary>The times asked for, in order; every change with its settled look when nothing else was asked.</summary>
    public static IReadOnlyList<SnapTime> Of(SnapRequest asked, ShowSource source, CaptureChanges found, IReadOnlyList<ChangeRecord> records)
    {
        var times = new List<SnapTime>();
        if (asked.Times.Count > 0)
        {
            times.AddRange(source.Times(asked.Times).Select(t => new SnapTime(t.Time, "at-" + FrameNames.Slug(t.Label), "asked for")));
        }

        if (asked.Every is { } every)
        {
            if (!double.IsFinite(every) || every < 0.01)
            {
                throw StopException.Wrong("--every takes a number of seconds, at least 0.01, such as 5s");
            }

            for (var n = 0; n * every <= found.End.TotalSeconds && n < 1_000_000; n++)
            {
                var at = TimeSpan.FromSeconds(n * every);
                times.Add(new SnapTime(at, string.Create(CultureInfo.InvariantCulture, $"time-{at.TotalSeconds:00000.00}"), $"every {every:0.##} s"));
            }
        }

        if (asked.Cues || times.Count == 0)
        {
            var names = Names(records);
            times.AddRange(MomentFinder.Choose(found.Changes, found.End).Select(m => new SnapTime(
                m.At, $"{(m.Change is { } c ? names[c.Number] : "opening")}-{m.Part}", m.Why, m.Change?.Number ?? 0, m.Part)));
        }

        if (times.Count == 0)
        {
            throw StopException.Wrong($"{asked.Capture} holds no change to take a frame of: name times with --at or --every");
        }

        return [.. times.DistinctBy(t => t.Label).OrderBy(t => t.At)];
    }

    /// <summary>
    /// A name for each change that other changes do nothing to: its cue's, else a digest of its look. Changes that would be called the same are counted.
    /// </summary>
    internal static IReadOnlyDictionary<int, string> Names(IReadOnlyList<ChangeRecord> records)
    {
        var names = new Dictionary<int, string>();
        var used = new HashSet<string>(StringComparer.Ordinal);
        foreach (var record in records)
        {
            var plain = record.Name is { } cue ? FrameNames.Slug(cue) : $"change-{(record.Look.Length > 0 ? record.Look : record.Shape + "000000")[..6]}";
            var name = plain;
            for (var n = 2; !used.Add(name); n++)
            {
                name = string.Create(CultureInfo.InvariantCulture, $"{plain}-{n}");
            }

            names[record.Number] = name;
        }

        return names;
    }
}
