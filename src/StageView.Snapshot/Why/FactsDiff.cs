using StageView.Snapshot.Frames;

namespace StageView.Snapshot.Why;

/// <summary>What differs between two runs as a whole: rig, profiles, venue, and the times of changes.</summary>
public static class FactsDiff
{
    public static IReadOnlyList<Cause> Of(SetFacts before, SetFacts after)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        var rig = Rig(before.Rig, after.Rig).ToList();
        // A mode with another footprint moves the addresses of what is patched after it.
        var moved = rig.Select(c => c.What.StartsWith("address", StringComparison.Ordinal)
            ? c with
            {
                Follows = rig.FirstOrDefault(o => o.What is "mode" or "type" && o.Fixtures is { } f && c.Fixtures is { } g && f.Intersect(g).Any())?.Text,
            } : c);
        return [.. moved.OrderBy(c => c.Follows is not null), .. TimingDiff.Of(before.Changes, after.Changes).Select(t => t.ToCause())];
    }

    internal const string Gone = "is no longer in the rig";

    internal const string New = "is new in the rig";

    /// <summary>A type that comes or goes is told by the fixtures whose type or mode changed.</summary>
    private const string TypeKind = "type";

    private static IEnumerable<Cause> Rig(IReadOnlyList<RigFact> before, IReadOnlyList<RigFact> after)
    {
        var old = ByKey(before);
        var now = ByKey(after);
        var differing = new List<(RigFact? A, RigFact? B)>();
        foreach (var key in old.Keys.Union(now.Keys))
        {
            var (a, b) = (old.GetValueOrDefault(key), now.GetValueOrDefault(key));
            if (a is null || b is null || Differ(a, b))
            {
                differing.Add((a, b));
            }
        }

        // A fixture that is new or gone is one cause, not one for each thing said of it.
        var subjectsOld = before.Select(Subject).ToHashSet();
        var subjectsNow = after.Select(Subject).ToHashSet();
        var comeOrGone = differing.Select(d => (d.A ?? d.B)!).DistinctBy(Subject)
            .Where(f => (!subjectsOld.Contains(Subject(f)) || !subjectsNow.Contains(Subject(f))) && f.Kind != TypeKind).ToList();

        // A pipe that is gone takes what hangs on it along.
        foreach (var group in comeOrGone.GroupBy(f => (Was: subjectsOld.Contains(Subject(f)), On: CarrierOf(f) ?? $"{f.Kind} {f.Subject}")))
        {
            yield return ComeOrGone([.. group], group.Key.On, group.Key.Was ? Gone : New);
        }

        string? CarrierOf(RigFact fact)
        {
            var place = fact.Kind == "fixture" ? fact.Place : fact.Kind == "scenery" ? fact.Subject : null;
            return place is { Length: > 0 } && comeOrGone.Exists(f => f.Kind == "scenery" && f.Subject == place)
                && comeOrGone.Exists(f => f.Kind == "fixture" && f.Place == place) ? place : null;
        }

        // What only one of them says of a thing that both have: a gel put in.
        var both = differing.Where(d => subjectsOld.Contains(Subject((d.A ?? d.B)!)) && subjectsNow.Contains(Subject((d.A ?? d.B)!)))
            .Select(d => (A: d.A ?? Nothing(d.B!), B: d.B ?? Nothing(d.A!))).ToList();
        foreach (var move in MovedTogether.Of(both))
        {
            yield return move;
        }

        var told = both.Where(d => !MovedTogether.IsPlace(d.B)).ToList();
        foreach (var group in told.GroupBy(d => Likeness(d.A, d.B)))
        {
            yield return Tell([.. group]);
        }
    }

    private static Cause ComeOrGone(IReadOnlyList<RigFact> things, string subject, string what)
    {
        var fixtures = things.Where(f => f.Kind == "fixture").Select(f => f.Subject).ToList();
        var pieces = things.SelectMany(f => PiecesOf(f.Kind, f.Subject) ?? []).ToList();
        return new Cause
        {
            Kind = CauseKind.Rig, Subject = subject, What = what, Fixtures = fixtures.Count > 0 ? fixtures : null, Pieces = pieces.Count > 0 ? pieces : null,
        };
    }

    private static bool Differ(RigFact a, RigFact b) => b.Property == RigFact.Turn ? Turns.Degrees(a.Text, b.Text) is not { } by || by >= LeastTurn
        : Amounts.Differ(a.Value, a.Text, b.Value, b.Text, b.Unit);

    /// <summary>Smallest turn told, degrees.</summary>
    private const double LeastTurn = 0.01;

    private static RigFact Nothing(RigFact said) => said with { Value = null, Text = null };

    /// <summary>What of the picture a fact concerns that is not said of a fixture; null where it is no piece.</summary>
    internal static IReadOnlyList<string>? PiecesOf(string kind, string name) => kind is "scenery" or "mirror" ? [name] : null;

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

    /// <summary>Facts of one place that change by the same amount, or from one word to another, belong together.</summary>
    private static string Likeness(RigFact a, RigFact b) => b.Place is { Length: > 0 } place
        ? b.Property == "address" ? $"{b.Kind}|address|{place}" : $"{b.Kind}|{b.Property}|{place}|{Delta((a, b))}"
        : $"{b.Kind}|{b.Property}|{b.Subject}";

    private static string Delta((RigFact A, RigFact B) change) => TurnOf(change.A, change.B) is { } turned ? turned
        : change is { A.Value: { } x, B.Value: { } y }
        ? Math.Round(y - x, 3).ToString(System.Globalization.CultureInfo.InvariantCulture)
        : $"{change.A.Text}>{change.B.Text}";

    /// <summary>How a thing was turned, in words; null for another property.</summary>
    private static string? TurnOf(RigFact a, RigFact b) => b.Property == RigFact.Turn && Turns.Degrees(a.Text, b.Text) is { } by
        ? $"turned by {Amounts.Say(Math.Round(by, 2), "deg", null)}" : null;

    private static Cause Tell(IReadOnlyList<(RigFact A, RigFact B)> group)
    {
        var (a, b) = group[0];
        var turned = TurnOf(a, b);
        if (group.Count == 1)
        {
            return new Cause
            {
                Kind = CauseKind.Rig,
                Subject = b.Kind switch
                {
                    "fixture" or "haze" or "rig" => b.Subject,
                    TypeKind when b.Fixtures is { Count: > 0 } f => NameRuns.Fold(f),
                    _ => $"{b.Kind} {b.Subject}",
                },
                What = turned ?? b.Property,
                Before = turned is not null ? "" : Amounts.Say(a.Value, a.Unit, a.Text),
                After = turned is not null ? "" : Amounts.Say(b.Value, b.Unit, b.Text),
                Fixtures = b.Fixtures ?? (b.Kind == "fixture" ? [b.Subject] : null),
                Pieces = PiecesOf(b.Kind, b.Subject),
            };
        }

        var same = group.All(g => g.A.Value == a.Value && g.B.Value == b.Value && g.A.Text == a.Text);
        return new Cause
        {
            Kind = CauseKind.Rig,
            Subject = b.Kind is "mirror" ? $"{group.Count} mirrors of {b.Place}" : b.Kind == "fixture" ? $"fixtures on {b.Place}" : b.Place!,
            What = turned ?? (same ? b.Property : b.Value is null
                ? $"{b.Property} of each; first {b.Subject}" : $"{b.Property} of each, by {Amounts.Say(b.Value - a.Value, b.Unit, null)}; first {b.Subject}"),
            Before = turned is not null ? "" : Amounts.Say(a.Value, a.Unit, a.Text),
            After = turned is not null ? "" : Amounts.Say(b.Value, b.Unit, b.Text),
            Fixtures = b.Kind == "mirror" ? null : [.. group.SelectMany(g => g.B.Fixtures ?? [g.B.Subject]).Distinct()],
            Pieces = b.Kind == "mirror" ? [.. group.Select(g => g.B.Subject)] : null,
        };
    }
}
