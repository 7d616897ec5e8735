using StageView.Rig;
using StageView.Wire;

namespace StageView.App.Compose;

/// <summary>Which universes a rig listens for.</summary>
internal static class Universes
{
    /// <summary>Every universe that a patched fixture reaches into, rising.</summary>
    public static IReadOnlyCollection<UniverseNumber> Patched(RigScene rig) =>
        [.. RigChecker.Summarize(rig).Universes.Select(u => new UniverseNumber(u.Universe))];
}
