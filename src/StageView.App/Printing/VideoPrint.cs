using System.Globalization;
using StageView.Show.Video;

namespace StageView.App.Printing;

/// <summary>How the making of a video is told.</summary>
internal static class VideoPrint
{
    /// <summary>A line that is rewritten on a terminal, and now and then a line elsewhere (a log).</summary>
    public static Action<VideoProgress> Reporter(TextWriter to, bool terminal)
    {
        var lastTenth = -1;
        return p =>
        {
            var left = p.Remaining is { } r ? $", {r.ToString(r.TotalHours >= 1 ? @"h\:mm\:ss" : @"m\:ss", CultureInfo.InvariantCulture)} left" : "";
            var kept = p.Kept > 0 ? $" ({p.Kept} kept)" : "";
            var text = $"frame {p.Done} of {p.Total}{kept}{left}";
            if (terminal)
            {
                to.Write($"\r{text}        {(p.Done == p.Total ? "\n" : "")}");
            }
            else if (p.Done * 10 / p.Total != lastTenth)
            {
                lastTenth = p.Done * 10 / p.Total;
                to.WriteLine(text);
            }
        };
    }
}
