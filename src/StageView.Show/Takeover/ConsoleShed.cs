using StageView.Paperwork.Patch;
using StageView.Rig.Patching;
using StageView.Rig.Pieces;

namespace StageView.Show.Takeover;

/// <summary>
/// What a console that can't hold the whole rig would leave out, so that as little light as possible is missed: first the universes whose fixtures were
/// lit for the shortest time, then single fixtures, by lit time for each attribute that leaving them out frees.
/// </summary>
internal static class ConsoleShed
{
    /// <param name="rig">The rig.</param>
    /// <param name="console">What it can hold.</param>
    /// <param name="role">main, backup or empty.</param>
    /// <param name="lit">How long each fixture was lit, s, by its place in the rig.</param>
    public static ConsoleLoad Of(RigScene rig, ConsoleCapacity console, string role, IReadOnlyList<double> lit)
    {
        var patch = new PatchLookup(rig);
        var patched = rig.Fixtures.Where(f => f.Patch.Count > 0).ToList();
        double Lit(Fixture f) => lit[f.Index.Value];
        var universes = patch.Universes;
        var shed = console.Universes is { } most && universes.Count > most
            ? universes.OrderBy(u => patch.In(u).Sum(Lit)).ThenByDescending(u => u).Take(universes.Count - most).Order().ToList() : [];
        var left = patched.Where(f => patch.UniversesOf(f).Any(shed.Contains)).ToHashSet();

        // Fixtures that share addresses come and go together, and count once.
        int Attributes(Fixture f) => f.SharesPatchOf.IsNone ? PatchInspector.AttributeCount(f.Mode) : 0;
        var (all, kept) = (patched.Sum(Attributes), patched.Where(f => !left.Contains(f)).Sum(Attributes));
        if (console.Attributes is { } runs)
        {
            var least = patched.Where(f => !left.Contains(f) && Attributes(f) > 0).OrderBy(f => Lit(f) / Attributes(f));
            foreach (var f in least.ThenByDescending(f => f.Index.Value).ToList())
            {
                if (kept <= runs)
                {
                    break;
                }

                kept -= Attributes(f);
                left.Add(f);
                left.UnionWith(patched.Where(o => o.SharesPatchOf == f.Index));
            }
        }

        return new ConsoleLoad(console.Name, role, universes.Count, console.Universes, all, console.Attributes, shed,
            [.. patched.Where(left.Contains).Select(f => f.Name)], Math.Round(left.Sum(Lit), 1));
    }
}
