using StageView.Ground.Drawings;

namespace StageView.Show.Cautions;

/// <summary>
/// Flashes, strobes and bright light along the show, a row for each place and fixture, on A3 sheets. Kinds differ by pattern as well as by colour (the colours
/// are those of Okabe and Ito, 2008, which readers with any colour vision tell apart).
/// </summary>
public static class FlashTimeline
{
    /// <summary>Fixtures that get a row of their own, the fastest.</summary>
    public const int MostFixtures = 12;

    /// <summary>Every page; at least one.</summary>
    public static IReadOnlyList<Drawing> Pages(FlashesAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        var pages = new List<TimelinePage>();
        TimelinePage PageFor(float height)
        {
            if (pages.Count == 0 || !pages[^1].HasRoom(height))
            {
                pages.Add(new TimelinePage(answer, pages.Count + 1));
            }

            return pages[^1];
        }

        foreach (var place in answer.Places)
        {
            var height = TimelinePage.HeightOf(place);
            PageFor(height).Add(place);
        }

        var fixtures = answer.Strobes.GroupBy(s => s.Fixture).OrderByDescending(g => g.Max(s => s.Rate)).ThenBy(g => g.Min(s => s.From)).ToList();
        foreach (var fixture in fixtures.Take(MostFixtures))
        {
            PageFor(TimelinePage.StrobeHeight).Add(fixture.Key, [.. fixture]);
        }

        if (fixtures.Count > MostFixtures)
        {
            PageFor(TimelinePage.StrobeHeight).Say($"and {fixtures.Count - MostFixtures} more fixtures above the limit, in the list");
        }

        return [.. pages.DefaultIfEmpty(new TimelinePage(answer, 1)).Select(p => p.Drawing)];
    }
}
