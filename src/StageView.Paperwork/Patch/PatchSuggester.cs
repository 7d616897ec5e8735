using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Wire.Universes;

namespace StageView.Paperwork.Patch;

/// <summary>Proposes a patch without gaps: chosen groups keep universes of their own, the rest follows by position and number.</summary>
public static class PatchSuggester
{
    /// <param name="Fixture">The fixture's name.</param>
    /// <param name="Break">DMX break.</param>
    /// <param name="Now">Where it is, or null.</param>
    /// <param name="Proposed">Where it would be.</param>
    public sealed record Move(string Fixture, int Break, UniverseAddress? Now, UniverseAddress Proposed);

    /// <param name="rig">The rig.</param>
    /// <param name="ownUniverse">Groups whose fixtures share universes with no others, in this order.</param>
    /// <param name="first">Universe to start from.</param>
    public static IReadOnlyList<Move> Suggest(RigScene rig, IReadOnlyList<string> ownUniverse, int first = 1)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(ownUniverse);
        var left = rig.Fixtures.Where(f => f.Mode.Footprints.Sum() > 0 && f.SharesPatchOf.IsNone).ToList();
        var blocks = new List<List<Fixture>>();
        foreach (var group in ownUniverse)
        {
            blocks.Add([.. left.Where(f => f.Groups.Contains(group))]);
            left = [.. left.Where(f => !f.Groups.Contains(group))];
        }

        // One position after the other, each type together: cables and consoles both like it.
        blocks.Add([.. left.OrderBy(f => left.FindIndex(o => o.Position == f.Position))
            .ThenBy(f => left.FindIndex(o => o.Profile == f.Profile && o.Mode == f.Mode)).ThenBy(f => f.Index)]);
        var moves = new List<Move>();
        var next = (first - 1) * UniverseAddress.AddressesPerUniverse;
        foreach (var block in blocks.Where(b => b.Count > 0))
        {
            next = (next + 511) / 512 * 512;
            foreach (var f in block)
            {
                for (var b = 1; b <= f.Mode.Footprints.Count; b++)
                {
                    var size = f.Mode.Footprints[b - 1];
                    if (size == 0)
                    {
                        continue;
                    }

                    if ((!PatchFootprint.MayCross(f.Mode, b) || size > 512 - (next % 512)) && (next % 512) + size > 512)
                    {
                        next = ((next / 512) + 1) * 512;
                    }

                    var now = f.Patch.Where(p => p.Break == b).Select(p => (UniverseAddress?)p.Start).FirstOrDefault();
                    moves.Add(new Move(f.Name, b, now, UniverseAddress.FromAbsolute(next)));
                    next = PatchFootprint.End(f.Mode, b, next);
                }
            }
        }

        return moves;
    }
}
