using System.Globalization;
using StageView.Snapshot.Frames;

namespace StageView.Snapshot.Why;

/// <summary>What moved by the same amount is told as one: a truss with its pieces and all that hangs on it.</summary>
internal static class MovedTogether
{
    private const string Height = "height";

    /// <summary>Whether a fact says where something is.</summary>
    public static bool IsPlace(RigFact fact) =>
        fact is { Kind: "fixture" or "scenery" or "mirror" or "camera", Property: Height or "x" or "y", Value: not null, Unit: "m" };

    /// <summary>A cause for each way that something moved.</summary>
    public static IEnumerable<Cause> Of(IEnumerable<(RigFact A, RigFact B)> differing) =>
        differing.Where(d => IsPlace(d.B)).GroupBy(d => (d.B.Kind, d.B.Subject)).Select(g => new Moved([.. g]))
            .GroupBy(m => (m.Way, Camera: m.Kind == "camera" ? m.Name : "")).Select(g => Tell([.. g]));

    private static Cause Tell(IReadOnlyList<Moved> all)
    {
        var fixtures = all.Where(m => m.Kind == "fixture").ToList();
        var pieces = all.Where(m => m.Kind != "fixture").ToList();

        // What carries the others gives its name and its figures.
        var places = fixtures.Select(f => f.Place).ToHashSet(StringComparer.Ordinal);
        var first = pieces.FirstOrDefault(p => places.Contains(p.Name)) ?? pieces.FirstOrDefault() ?? fixtures[0];
        var (before, after) = Figures(all, first);
        return new Cause
        {
            Kind = CauseKind.Rig,
            Subject = pieces.Count > 0 ? Names(first, pieces, fixtures.Count) : Names(fixtures),
            What = first.Say() + (pieces.Count > 1 ? $", {pieces.Count} pieces" : "") + (before.Length > 0 ? $", {first.Only}" : ""),
            Before = before,
            After = after,
            Fixtures = fixtures.Count > 0 ? [.. fixtures.Select(f => f.Name)] : null,
            Pieces = pieces.Count > 0 && first.Kind != "camera" ? [.. pieces.Select(p => p.Name)] : null,
        };
    }

    /// <summary>Where it was and is, if it moved along one axis and that holds for all or for what carries them.</summary>
    private static (string Before, string After) Figures(IReadOnlyList<Moved> all, Moved first)
    {
        if (first.Only is not { } axis || (first.Kind == "fixture" && all.Any(m => m.Of(axis)!.Value.A.Value != first.Of(axis)!.Value.A.Value)))
        {
            return ("", "");
        }

        var (a, b) = first.Of(axis)!.Value;
        return (Amounts.Say(a.Value, a.Unit, null), Amounts.Say(b.Value, b.Unit, null));
    }

    private static string Names(Moved first, List<Moved> pieces, int fixtures)
    {
        // Alone it is told with its kind: a piece's name may be anything.
        var others = pieces.Where(p => p != first).Select(p => p.Name).Distinct(StringComparer.Ordinal).ToList();
        var name = fixtures == 0 && pieces.Count == 1 ? $"{first.Kind} {first.Name}" : first.Name;
        return others.Count switch { 0 => name, 1 => $"{name} and {others[0]}", _ => $"{name} and {others.Count} more" };
    }

    private static string Names(List<Moved> fixtures)
    {
        // By their own names where those are one run: down heads 1 to 6.
        var names = fixtures.Select(f => f.Name).ToList();
        if (NameRuns.IsOne(names))
        {
            return NameRuns.Fold(names);
        }

        var places = fixtures.Select(f => f.Place).Where(p => p.Length > 0).Distinct(StringComparer.Ordinal).ToList();
        return places.Count switch
        {
            0 => $"{fixtures[0].Name} and {fixtures.Count - 1} more",
            1 => $"fixtures on {places[0]}",
            2 => $"fixtures on {places[0]} and {places[1]}",
            _ => $"fixtures on {places[0]} and {places.Count - 1} more",
        };
    }

    /// <summary>One thing that moved.</summary>
    private sealed class Moved
    {
        // In the order they are told; right and left as the audience sees them, y grows upstage.
        private static readonly (string Axis, string More, string Less)[] Words =
            [(Height, "higher", "lower"), ("x", "to the audience's right", "to the audience's left"), ("y", "upstage", "downstage")];

        private readonly Dictionary<string, (RigFact A, RigFact B)> _axes;

        public Moved(IReadOnlyList<(RigFact A, RigFact B)> facts)
        {
            _axes = facts.ToDictionary(f => f.B.Property, StringComparer.Ordinal);
            (Kind, Name, Place) = (facts[0].B.Kind, facts[0].B.Subject, facts[0].B.Place ?? "");
            Way = string.Join('|', Words.Select(w => By(w.Axis).ToString("0.###", CultureInfo.InvariantCulture)));
        }

        public string Kind { get; }

        public string Name { get; }

        public string Place { get; }

        /// <summary>The same for all that move alike, to the millimetre.</summary>
        public string Way { get; }

        /// <summary>The one axis that it moved along, or null.</summary>
        public string? Only => _axes.Count == 1 ? _axes.Keys.First() : null;

        public (RigFact A, RigFact B)? Of(string axis) => _axes.TryGetValue(axis, out var f) ? f : null;

        public string Say() => string.Join(", ", Words.Where(w => _axes.ContainsKey(w.Axis)).Select(w =>
            $"{Amounts.Distance(Math.Abs(By(w.Axis)))} {(By(w.Axis) > 0 ? w.More : w.Less)}"));

        private double By(string axis) => _axes.TryGetValue(axis, out var f) ? Math.Round(f.B.Value!.Value - f.A.Value!.Value, 3) : 0;
    }
}
