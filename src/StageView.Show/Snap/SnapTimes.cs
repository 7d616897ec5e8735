using System.Globalization;
using StageView.Show.Frames;
using StageView.Show.Sources;
using StageView.Stage.Changes;

namespace StageView.Show.Snap;

/// <summary>A time to take, with the name its frames get.</summary>
internal sealed record SnapTime(TimeSpan At, string Label, string Why)
{
    /// <summary>The times asked for, in order; every change with its settled look when nothing else was asked.</summary>
    public static IReadOnlyList<SnapTime> Of(SnapRequest asked, ShowSource source, CaptureChanges found)
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
            times.AddRange(MomentFinder.Choose(found.Changes, found.End).Select(m => new SnapTime(m.At, m.Label, m.Why)));
        }

        if (times.Count == 0)
        {
            throw StopException.Wrong($"{asked.Capture} holds no change to take a frame of: name times with --at or --every");
        }

        return [.. times.DistinctBy(t => t.Label).OrderBy(t => t.At)];
    }
}
