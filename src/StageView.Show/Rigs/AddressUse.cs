using StageView.Rig.Pieces;
using StageView.Wire.Universes;

namespace StageView.Show.Rigs;

/// <summary>Which fixtures use an address.</summary>
public static class AddressUse
{
    /// <summary>
    /// The fixtures whose footprint holds the address, in the rig's order; several where patches overlap. A break that the fixture's mode doesn't
    /// have uses no address.
    /// </summary>
    public static IEnumerable<Fixture> FixturesAt(RigScene rig, UniverseAddress address) => rig.Fixtures.Where(f => f.Patch.Any(p =>
        p.Break <= f.Mode.Footprints.Count && address.Absolute >= p.Start.Absolute && address.Absolute < p.Start.Absolute + f.Mode.Footprints[p.Break - 1]));
}
