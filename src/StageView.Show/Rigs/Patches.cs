using StageView.Rig.Patching;
using StageView.Rig.Pieces;
using StageView.Wire.Health;

namespace StageView.Show.Rigs;

/// <summary>What a rig uses of the network.</summary>
public static class Patches
{
    public static PatchedUniverses Of(RigScene rig) => Of(new PatchLookup(rig));

    public static PatchedUniverses Of(PatchLookup patch) => new(patch.Universes.ToDictionary(u => u, patch.Highest));
}
