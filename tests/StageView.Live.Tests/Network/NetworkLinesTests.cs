using StageView.Live.Network;
using StageView.Wire.Health;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Live.Tests.Network;

public sealed class NetworkLinesTests
{
    [Fact]
    public void Faults_stand_first_and_each_universe_knows_what_is_fought_over()
    {
        var health = new WireHealth
        {
            At = 9, Universes = [Heard(1), Heard(3), Heard(4, SourceStanding.Lost), Heard(6), Heard(9)], Senders = [], Received = 0, Taken = 0, Malformed = 0,
            Ignored = 0, NoRoom = 0, PreviewRefused = 0, LastMalformed = null,
        };
        Finding[] found =
        [
            new() { Kind = FindingKind.SourcesDisagree, Stands = true, Universes = [3], Priority = 100, Sources = ["'a'", "'b'"], Addresses = [3, 4] },
            new() { Kind = FindingKind.PreviewOnly, Stands = false, Universes = [1] },
            new() { Kind = FindingKind.Malformed, Stands = true, Count = 3, Reason = "" },
        ];
        var lines = NetworkLines.Of(health, new Dictionary<int, int> { [1] = 4, [2] = 5, [3] = 6, [4] = 7, [9] = 1 }, 9, found);
        Assert.Equal([(4, "lost", 0), (2, "silent", 0), (3, "heard", 2), (1, "heard", 0), (6, "unpatched", 0)],
            lines.Select(l => (l.Universe, l.State, l.Fought)));
        Assert.Equal([false, false, true, false, false], lines.Select(l => l.Wrong));
    }

    private static UniverseHealth Heard(int universe, SourceStanding standing = SourceStanding.Live) => new()
    {
        Universe = universe, Refused = 0, OtherStartCodes = 0, LastOtherStartCode = 0, Disagreements = [], FrozenBySync = false,
        Sources =
        [
            new SourceHealth
            {
                Protocol = SourceProtocol.E131, Name = "a", Cid = null, Address = "10.0.0.1:5568", Id = "a", Standing = standing,
                Share = new SourceShare(standing == SourceStanding.Live ? SourceUse.InForce : SourceUse.Held, 512, 512, UnusedReason.None), Priority = 100,
                PerAddressPriority = false, Preview = false, Slots = 512, SyncAddress = 0, Packets = 1, PreviewRefused = 0, Missing = 0, OutOfOrder = 0,
                Duplicates = 0, IntervalMilliseconds = 25, JitterMilliseconds = 0, SecondsSinceSeen = 0, HoldSeconds = 2.5, SecondsSinceChange = 0,
            },
        ],
    };
}
