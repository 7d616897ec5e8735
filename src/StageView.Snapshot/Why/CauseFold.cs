namespace StageView.Snapshot.Why;

/// <summary>Causes for people: what many fixtures do alike is one line.</summary>
public static class CauseFold
{
    /// <returns>In the order of each line's first cause; the share is the largest of those folded.</returns>
    public static IReadOnlyList<Cause> Of(IReadOnlyList<Cause> causes)
    {
        ArgumentNullException.ThrowIfNull(causes);
        return [.. causes.GroupBy(c => c.Kind is CauseKind.Fixture or CauseKind.Attribute
                ? $"{c.Kind}|{c.What}|{c.Before}|{c.After}|{c.Follows}" : $"{c.Kind}|{c.Text}", StringComparer.Ordinal)
            .Select(g => g.ToList()).Select(g => g.Count == 1 ? g[0] : g[0] with
            {
                Subject = NameRuns.Fold([.. g.Select(c => c.Subject)]), Fixtures = [.. g.Select(c => c.Subject)], Share = g.Max(c => c.Share),
            })];
    }
}
