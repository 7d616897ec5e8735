using StageView.Live.Network;
using StageView.Rig.Patching;
using StageView.Rig.Pieces;
using StageView.Show.Rigs;
using StageView.Wire.Health;

namespace StageView.Live.Tests.Network;

public sealed class FixtureTroublesTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    // The spot head's addresses are counted from its patch: 1.101 and on for the first, 2.1 and on for the second.
    [Fact]
    public void A_fixture_hears_of_what_bites_at_its_own_addresses_and_of_nothing_else()
    {
        var rig = RigFiles.Open(_folder.File("a.rig.jsonc", $$"""
            { "name": "Small", "profiles": ["{{Repo.File("assets", "fixtures")}}"],
              "hangs": [{ "name": "one", "profile": "spot-head", "at": [0, 0, 6], "patch": "1.101" },
                { "name": "two", "profile": "spot-head", "at": [1, 0, 6], "patch": "2.1" }] }
            """));
        Finding[] found =
        [
            new()
            {
                Kind = FindingKind.SourcesDisagree, Stands = true, Universes = [1], Priority = 100, Sources = ["'a'", "'b'"], Addresses = [3, 101, 102, 400],
            },
            new() { Kind = FindingKind.SourcesDisagree, Stands = true, Universes = [2], Priority = 100, Sources = ["'a'", "'b'"], Addresses = [400] },
            new() { Kind = FindingKind.UniverseTooShort, Stands = true, Universes = [1], Sources = ["'a'"], Sends = 105, Needs = 200 },
            new() { Kind = FindingKind.UniverseTooShort, Stands = true, Universes = [2], Sources = ["'a'"], Sends = 300, Needs = 512 },
            new() { Kind = FindingKind.LevelsFrozen, Stands = true, Universes = [2] },
            new() { Kind = FindingKind.PreviewOnly, Stands = false, Universes = [1] },
            new() { Kind = FindingKind.Malformed, Stands = true, Count = 3, Reason = "" },
        ];
        Assert.Equal(["universe 1: 'a' and 'b' fight at equal priority 100 over 101-102",
            "universe 1: 'a' sends 105 addresses, the patch uses 200; 1.106 and above get nothing"], Of("one"));
        Assert.Equal(["universe 2 is frozen: its synchronisation packets stopped and the source asks to wait for them"], Of("two"));

        IReadOnlyList<string> Of(string name) => FixtureTroubles.Of(new PatchLookup(rig), Named(rig, name), found);
    }

    private static Fixture Named(RigScene rig, string name) => rig.Fixtures.Single(f => f.Name == name);
}
