using StageView.Show.Sources;

namespace StageView.Show.Cautions;

/// <summary>Goes through a source of levels in order of time: closely for what flashes and moves, in steps for what reaches people.</summary>
public static class CautionsWalk
{
    /// <summary>Feeds and looks; gives each time once it was looked at, so that a caller can tell how far it is, or end early.</summary>
    /// <param name="search">Told what is found.</param>
    /// <param name="source">Where the levels come from; its stage is the one looked at.</param>
    /// <param name="times">Times to look at, in order.</param>
    /// <param name="bounces">Mirrors a beam may meet, 0 to 4; the rig's own number unless given.</param>
    public static IEnumerable<TimeSpan> Through(CautionsQuestion search, ShowSource source, IEnumerable<TimeSpan> times, int? bounces = null)
    {
        ArgumentNullException.ThrowIfNull(search);
        ArgumentNullException.ThrowIfNull(source);
        ArgumentNullException.ThrowIfNull(times);
        var next = 0.0;
        foreach (var time in times)
        {
            for (; next > 0 && next < time.TotalSeconds; next += CautionsQuestion.FollowSeconds)
            {
                source.FeedTo(TimeSpan.FromSeconds(next));
                search.Follow(source.Stage, TimeSpan.FromSeconds(next));
            }

            source.FeedTo(time);
            search.Follow(source.Stage, time);
            search.Look(source.Stage, time, bounces);
            next = time.TotalSeconds + CautionsQuestion.FollowSeconds;
            yield return time;
        }
    }
}
