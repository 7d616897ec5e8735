using System.Globalization;
using StageView.Ground.Words;

namespace StageView.Rig.Mvr;

/// <summary>Which fixtures share another's patch: those written as its multipatch, and those with the very same type, mode and addresses.</summary>
internal sealed class MvrSharing
{
    private readonly int[] _of;

    public MvrSharing(IReadOnlyList<MvrFixture> fixtures, List<string> notes)
    {
        _of = new int[fixtures.Count];
        Array.Fill(_of, -1);
        var byUuid = new Dictionary<string, int>(StringComparer.OrdinalIgnoreCase);
        for (var i = 0; i < fixtures.Count; i++)
        {
            byUuid.TryAdd(fixtures[i].Uuid, i);
        }

        var seen = new Dictionary<string, int>(StringComparer.Ordinal);
        var same = 0;
        for (var i = 0; i < fixtures.Count; i++)
        {
            var f = fixtures[i];
            if (f.Multipatch.Length > 0)
            {
                var found = byUuid.GetValueOrDefault(f.Multipatch, -1);
                if (found < 0 || found == i || fixtures[found].Multipatch.Length > 0 || fixtures[found].Spec != f.Spec || fixtures[found].Mode != f.Mode)
                {
                    notes.Add(
                        $"\"{f.Name}\": its multipatch {f.Multipatch} is not used: {(found < 0 ? "no fixture has that uuid" : "the two are not of one type "
                        + "and mode, or the other shares a patch itself")}");
                }
                else
                {
                    _of[i] = found;
                    continue;
                }
            }

            if (f.Addresses.Count > 0)
            {
                var key = string.Join('|', f.Addresses.OrderBy(a => a.Break).Select(a => string.Create(CultureInfo.InvariantCulture, $"{a.Break}:{a.Absolute}"))
                    .Prepend(f.Mode).Prepend(f.Spec));
                if (!seen.TryAdd(key, i) && !string.IsNullOrEmpty(f.Spec))
                {
                    _of[i] = seen[key];
                    same++;
                }
            }
        }

        if (same > 0)
        {
            notes.Add(
                $"{Counted.Of(same, "fixture has", "fixtures have")} the addresses of another of the same type and mode without being its multipatch: taken as "
                + "sharing its patch");
        }
    }

    /// <summary>Place of the fixture whose patch it shares, or -1.</summary>
    public int Of(int fixture) => _of[fixture];

    /// <summary>Place of the fixture that is patched itself: the one whose patch it shares in the end, or its own.</summary>
    public int Root(int fixture)
    {
        // A multipatch may lead to one that shares by its addresses; those lead to the first that has them.
        for (var k = 0; k < 2 && _of[fixture] >= 0; k++)
        {
            fixture = _of[fixture];
        }

        return fixture;
    }
}
