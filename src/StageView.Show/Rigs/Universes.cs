using StageView.Rig.Checks;
using StageView.Rig.Pieces;
using StageView.Wire.Universes;

namespace StageView.Show.Rigs;

/// <summary>Which universes a rig listens for.</summary>
public static class Universes
{
    /// <summary>Every universe that a patched fixture reaches into, rising.</summary>
    public static IReadOnlyCollection<UniverseNumber> Patched(RigScene rig) =>
        [.. RigChecker.Summarize(rig).Universes.Select(u => new UniverseNumber(u.Universe))];
}
