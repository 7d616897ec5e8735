using System.Text;
using StageView.Light.Cautions.Comfort;
using StageView.Light.Cautions.Flashes;
using static StageView.Show.Cautions.FlashTexts;

namespace StageView.Show.Cautions;

/// <summary>The words for a notice at the door: what flashes, how fast, how long and when, in plain words; and what they rest on.</summary>
public static class FlashNotice
{
    /// <summary>Times that are named one by one; the rest is counted.</summary>
    private const int MostTimes = 12;

    /// <summary>Spells closer together than this are one time on the notice, s.</summary>
    private const double Together = 2;

    public static string Of(FlashesAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        var text = new StringBuilder();
        if (!answer.AnythingChecked)
        {
            text.Append("Nothing could be checked: ").AppendJoin("; ", answer.NotChecked.Select(n => $"{n.What}, {n.Why}"))
                .AppendLine(". No notice follows from that, and no word that there is nothing to tell.");
        }
        else if (answer.Any)
        {
            Found(answer, text);
        }
        else
        {
            text.AppendLine("For the notice at the door: this check has found nothing above its limits to put on it.")
                .AppendLine("That is no promise that flashing or bright light in this show affects nobody.");
            if (Bright(answer) is { } bright)
            {
                text.AppendLine().AppendLine("What may be worth a word all the same:").AppendLine(bright);
            }
        }

        Rests(answer, text);
        return text.ToString();
    }

    private static void Found(FlashesAnswer answer, StringBuilder text)
    {
        text.AppendLine("NOTICE: FLASHING LIGHT").AppendLine().AppendLine("This show contains flashing light.").AppendLine();
        if (answer.Strobes.Count > 0)
        {
            Times(answer, text, $"Strobe lights, up to {Rate(answer.Strobes.Max(s => s.Rate))} flashes a second",
                answer.Strobes.Select(s => (s.From, s.To)));
        }

        foreach (var kind in (FlashKind[])[FlashKind.General, FlashKind.Red])
        {
            var seats = Spells(answer, kind, camera: false);
            if (seats.Count > 0)
            {
                var most = seats.Max(s => s.Flashes);
                Times(answer, text, kind == FlashKind.Red ? $"Flashes of saturated red across much of the view, up to {most} a second"
                    : $"Flashes across much of the view from the audience, up to {most} a second", seats.Select(s => (s.From, s.To)));
            }

            var pictures = Spells(answer, kind, camera: true);
            if (pictures.Count > 0)
            {
                var what = kind == FlashKind.Red ? "saturated red" : "light";
                Times(answer, text, $"Flashes of {what} in camera pictures, up to {pictures.Max(s => s.Flashes)} a second",
                    pictures.Select(s => (s.From, s.To)));
            }
        }

        if (Bright(answer) is { } bright)
        {
            text.AppendLine(bright);
        }
    }

    private static List<FlashSpell> Spells(FlashesAnswer answer, FlashKind kind, bool camera) =>
        [.. answer.Places.Where(p => p.Place.Camera is not null == camera && !p.Place.IsCrew).SelectMany(p => p.Spells).Select(s => s.Spell)
            .Where(s => s.Kind == kind)];

    private static void Times(FlashesAnswer answer, StringBuilder text, string what, IEnumerable<(double From, double To)> spells)
    {
        var times = Joined(spells);
        var longest = times.Max(t => t.To - t.From);
        text.AppendLine(FormattableString.Invariant(
            $"- {what}: {times.Sum(t => t.To - t.From):0.#} s in all, {longest:0.#} s at the longest."));
        foreach (var (from, to) in times.Take(MostTimes))
        {
            text.AppendLine($"    {Clock(from, to)}{(answer.CueAt(from) is { Length: > 0 } cue ? $" (cue \"{cue}\")" : "")}");
        }

        if (times.Count > MostTimes)
        {
            text.AppendLine($"    and {times.Count - MostTimes} times more, the last at {Clock(times[^1].From)}");
        }
    }

    private static List<(double From, double To)> Joined(IEnumerable<(double From, double To)> spells)
    {
        var joined = new List<(double From, double To)>();
        foreach (var s in spells.OrderBy(s => s.From))
        {
            if (joined.Count > 0 && s.From - joined[^1].To <= Together)
            {
                joined[^1] = (joined[^1].From, Math.Max(joined[^1].To, s.To));
            }
            else
            {
                joined.Add(s);
            }
        }

        return joined;
    }

    /// <summary>The most light at an eye of the audience, from the limit for light on; null below.</summary>
    private static string? Bright(FlashesAnswer answer)
    {
        (BrightMoment Moment, PlaceFlashes Place)? worst = null;
        foreach (var place in answer.Places.Where(p => !p.Place.IsCrew && p.Comfort is { WorstIlluminances.Count: > 0 }))
        {
            var moment = place.Comfort!.WorstIlluminances[0];
            worst = worst is { } w && w.Moment.Lux >= moment.Lux ? w : (moment, place);
        }

        return worst is { } found && found.Moment.Lux >= answer.Limits.LeastLux
            ? FormattableString.Invariant(
                $"- Bright light towards the audience: up to {found.Moment.Lux:0} lx at the eye, at {Clock(found.Moment.Seconds)}, {found.Place.Place.Name}.")
            : null;
    }

    private static void Rests(FlashesAnswer answer, StringBuilder text)
    {
        text.AppendLine().AppendLine("WHAT THIS RESTS ON (for whoever puts the notice up)").AppendLine();
        if (answer.AnythingChecked)
        {
            text.AppendLine(FormattableString.Invariant(
                $"Times are minutes and seconds of the recording, which was looked at from {Clock(answer.Asked.From)} to {Clock(answer.Asked.To)}."));
        }

        foreach (var c in answer.Checked)
        {
            text.AppendLine($"Checked: {c.What} ({c.Count}).");
        }

        foreach (var l in answer.Checked.SelectMany(c => c.Limits).DistinctBy(l => l.Key))
        {
            text.AppendLine($"Limit: {l.Meaning}: {FormattableString.Invariant($"{l.Value:0.####}")}{(l.Unit.Length > 0 ? " " + l.Unit : "")} ({l.Source}).");
        }

        foreach (var n in answer.NotChecked)
        {
            text.AppendLine($"Not checked: {n.What} ({n.Why}).");
        }

        text.AppendLine().AppendLine(Deference);
        text.AppendLine("Whether a notice is needed, what it says and where it hangs is for the local code and the venue.");
    }
}
