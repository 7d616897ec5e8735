using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Wire.Health;

namespace StageView.Show.Rigs;

/// <summary>What a rig uses of the network.</summary>
public static class Patches
{
    public static PatchedUniverses Of(RigScene rig)
    {
        var highest = new Dictionary<int, int>();
        foreach (var f in rig.Fixtures)
        {
            foreach (var p in f.Patch)
            {
                foreach (var (from, count) in PatchFootprint.Occupied(f.Mode, p.Break, p.Start.Absolute))
                {
                    for (var a = from; a < from + count; a++)
                    {
                        var universe = (a / 512) + 1;
                        highest[universe] = Math.Max(highest.GetValueOrDefault(universe), (a % 512) + 1);
                    }
                }
            }
        }

        return new PatchedUniverses(highest);
    }
}
