using StageView.Light.Cautions.Flashes;
using StageView.Light.Cautions.Series;
using StageView.Show.Sources;

namespace StageView.Show.Cautions;

/// <summary>What flashed in which cue.</summary>
internal static class FlashesByCue
{
    /// <summary>Every cue that begins before the end, with the worst in it.</summary>
    public static IReadOnlyList<CueFlashes> Of(
        IReadOnlyList<CueTime> cues, FlashesAsked asked, IReadOnlyList<PlaceFlashes> places, IReadOnlyList<StrobeTime> strobes)
    {
        var found = new List<CueFlashes>();
        for (var i = 0; i < cues.Count; i++)
        {
            var from = Math.Max(asked.From, cues[i].Time.TotalSeconds);
            var to = i + 1 < cues.Count ? Math.Min(asked.To, cues[i + 1].Time.TotalSeconds) : asked.To;
            if (from < to)
            {
                found.Add(One(cues[i].Name, from, to, places, strobes));
            }
        }

        return found;
    }

    private static CueFlashes One(string name, double from, double to, IReadOnlyList<PlaceFlashes> places, IReadOnlyList<StrobeTime> strobes)
    {
        var worst = places.SelectMany(p => Within(p, p.Wcag, from, to).Concat(Within(p, p.Broadcast, from, to)))
            .OrderByDescending(w => w.Flashes).ThenByDescending(w => w.Spell.AreaShare).FirstOrDefault();
        var strobe = strobes.Where(s => s.From < to && s.To >= from).MaxBy(s => s.Rate);
        return new CueFlashes(name, from, to, worst.Place ?? "", worst.Spell?.Kind ?? FlashKind.General, worst.Flashes, worst.Spell?.AreaShare ?? 0,
            strobe?.Rate ?? 0, strobe?.Fixture ?? "");
    }

    /// <summary>A meter's spells in a stretch of time, each with the most flashes that a second ending within it had.</summary>
    private static IEnumerable<(string Place, FlashSpell Spell, int Flashes)> Within(PlaceFlashes place, FlashMeter meter, double from, double to)
    {
        foreach (var spell in meter.Spells.Where(s => s.From < to && s.To >= from))
        {
            var most = Most(meter.Series(spell.Kind), Math.Max(from, spell.From), Math.Min(to, spell.To));
            if (most > meter.Rule.Most)
            {
                yield return (place.Place.Name, spell, most);
            }
        }
    }

    private static int Most(DecimatedSeries series, double from, double to) =>
        (int)series.Points.Where(p => p.From + series.Width > from && p.From <= to).Select(p => p.Largest).DefaultIfEmpty(0).Max();
}
