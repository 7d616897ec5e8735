namespace StageView.Snapshot;

/// <summary>What differs between two runs as a whole: rig, profiles, venue, and the times of changes.</summary>
public static class FactsDiff
{
    public static IReadOnlyList<Cause> Of(SetFacts before, SetFacts after)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        return [.. Rig(before.Rig, after.Rig), .. TimingDiff.Of(before.Changes, after.Changes).Select(t => t.ToCause())];
    }

    private static IEnumerable<Cause> Rig(IReadOnlyList<RigFact> before, IReadOnlyList<RigFact> after)
    {
        var old = ByKey(before);
        var now = ByKey(after);
        var differing = new List<(RigFact? A, RigFact? B)>();
        foreach (var key in old.Keys.Union(now.Keys))
        {
            var (a, b) = (old.GetValueOrDefault(key), now.GetValueOrDefault(key));
            if (a is null || b is null || Amounts.Differ(a.Value, a.Text, b.Value, b.Text, (b ?? a).Unit))
            {
                differing.Add((a, b));
            }
        }

        // A fixture that is new or gone is one cause, not one for each thing said of it.
        var subjectsOld = before.Select(Subject).ToHashSet();
        var subjectsNow = after.Select(Subject).ToHashSet();
        foreach (var subject in differing.Select(d => Subject((d.A ?? d.B)!)).Distinct().Where(s => !subjectsOld.Contains(s) || !subjectsNow.Contains(s)).ToList())
        {
            yield return new Cause
            {
                Kind = CauseKind.Rig,
                Subject = $"{subject.Kind} {subject.Name}",
                What = subjectsOld.Contains(subject) ? "is no longer in the rig" : "is new in the rig",
                Fixtures = subject.Kind == "fixture" ? [subject.Name] : null,
            };
        }

        var told = differing.Where(d => d.A is not null && d.B is not null).Select(d => (A: d.A!, B: d.B!)).ToList();
        foreach (var group in told.GroupBy(d => Likeness(d.A, d.B)))
        {
            foreach (var cause in Tell([.. group]))
            {
                yield return cause;
            }
        }
    }

    private static Dictionary<(string, string, string), RigFact> ByKey(IEnumerable<RigFact> facts)
    {
        var map = new Dictionary<(string, string, string), RigFact>();
        foreach (var fact in facts)
        {
            map.TryAdd((fact.Kind, fact.Subject, fact.Property), fact);
        }

        return map;
    }

    private static (string Kind, string Name) Subject(RigFact fact) => (fact.Kind, fact.Subject);

    /// <summary>Facts of one place that change by the same amount belong together.</summary>
    private static string Likeness(RigFact a, RigFact b) => b.Place is { Length: > 0 } place && a.Value is { } x && b.Value is { } y
        ? $"{b.Kind}|{b.Property}|{place}|{Math.Round(y - x, 3)}"
        : $"{b.Kind}|{b.Property}|{b.Subject}";

    private static IEnumerable<Cause> Tell(IReadOnlyList<(RigFact A, RigFact B)> group)
    {
        var (a, b) = group[0];
        if (group.Count == 1)
        {
            yield return new Cause
            {
                Kind = CauseKind.Rig,
                Subject = b.Kind == "fixture" ? b.Subject : $"{b.Kind} {b.Subject}",
                What = b.Property,
                Before = Amounts.Say(a.Value, a.Unit, a.Text),
                After = Amounts.Say(b.Value, b.Unit, b.Text),
                Fixtures = b.Fixtures ?? (b.Kind == "fixture" ? [b.Subject] : null),
            };
            yield break;
        }

        var same = group.All(g => g.A.Value == a.Value && g.B.Value == b.Value);
        yield return new Cause
        {
            Kind = CauseKind.Rig,
            Subject = b.Place!,
            What = same ? b.Property : $"{b.Property} of each, by {Amounts.Say(b.Value - a.Value, b.Unit, null)}; first",
            Before = Amounts.Say(a.Value, a.Unit, a.Text),
            After = Amounts.Say(b.Value, b.Unit, b.Text),
            Fixtures = [.. group.SelectMany(g => g.B.Fixtures ?? [g.B.Subject]).Distinct()],
        };
    }
}
