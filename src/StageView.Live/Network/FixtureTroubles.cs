using StageView.Rig.Patching;
using StageView.Rig.Pieces;
using StageView.Wire.Health;
using StageView.Wire.Universes;

namespace StageView.Live.Network;

/// <summary>What of the network's faults bites at one fixture's addresses.</summary>
internal static class FixtureTroubles
{
    /// <param name="patch">Of the rig shown.</param>
    /// <param name="fixture">Of that rig.</param>
    /// <param name="found">What the newest look found, each finding of one universe.</param>
    /// <returns>A line each, in the words of the network's own list.</returns>
    public static IReadOnlyList<string> Of(PatchLookup patch, Fixture fixture, IReadOnlyList<Finding> found)
    {
        var universes = patch.UniversesOf(fixture).ToHashSet();
        return [.. found.Where(f => f.Stands && f.Universe is { } u && universes.Contains(u))
            .Select(f => Here(patch, fixture, f)).OfType<Finding>().Select(f => f.Text)];
    }

    /// <summary>The finding as far as it is about the fixture's own addresses, or null.</summary>
    private static Finding? Here(PatchLookup patch, Fixture fixture, Finding f)
    {
        bool Has(int address) => patch.At(new UniverseAddress(new UniverseNumber(f.Universe!.Value), address)).Contains(fixture);
        switch (f.Kind)
        {
            case FindingKind.SourcesDisagree:
                var mine = f.Addresses.Where(Has).ToList();
                return mine.Count == 0 ? null : f with { Addresses = mine };
            case FindingKind.UniverseTooShort:
                return Enumerable.Range(f.Sends!.Value + 1, UniverseAddress.AddressesPerUniverse - f.Sends.Value).Any(Has) ? f : null;
            default:
                return f;
        }
    }
}
