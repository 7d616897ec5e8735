using StageView.Snapshot.Frames;

namespace StageView.Snapshot.Why;

/// <summary>Fixtures and attributes that differ between two frames.</summary>
internal static class FixtureDiff
{
    public static IEnumerable<Cause> Of(FrameSidecar before, FrameSidecar after)
    {
        var old = before.Fixtures.DistinctBy(f => f.Name).ToDictionary(f => f.Name);
        var now = after.Fixtures.DistinctBy(f => f.Name).ToDictionary(f => f.Name);
        foreach (var name in old.Keys.Union(now.Keys).Order(StringComparer.Ordinal))
        {
            var (a, b) = (old.GetValueOrDefault(name), now.GetValueOrDefault(name));
            if (a?.Lit != b?.Lit)
            {
                yield return new Cause
                {
                    Kind = CauseKind.Fixture,
                    Subject = name,
                    What = "light",
                    Before = a?.Lit == true ? "lit" : "dark",
                    After = b?.Lit == true ? "lit" : "dark",
                };
            }

            if (a is null || b is null)
            {
                continue;
            }

            foreach (var cause in Attributes(name, a, b))
            {
                yield return cause;
            }
        }
    }

    private static IEnumerable<Cause> Attributes(string fixture, FixtureRecord a, FixtureRecord b)
    {
        var old = a.Attributes.DistinctBy(x => x.Name).ToDictionary(x => x.Name);
        var now = b.Attributes.DistinctBy(x => x.Name).ToDictionary(x => x.Name);
        foreach (var name in now.Keys.Union(old.Keys))
        {
            var (x, y) = (old.GetValueOrDefault(name), now.GetValueOrDefault(name));
            var unit = (y ?? x)!.Unit;
            if (Amounts.Differ(x?.Value, x?.Text, y?.Value, y?.Text, unit))
            {
                yield return new Cause
                {
                    Kind = CauseKind.Attribute,
                    Subject = fixture,
                    What = name,
                    Before = Amounts.Say(x?.Value, unit, x?.Text),
                    After = Amounts.Say(y?.Value, unit, y?.Text),
                };
            }
        }
    }
}
