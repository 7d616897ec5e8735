using StageView.Rig.Pieces;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Wire.Capture;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Show.Tests.Sources;

/// <summary>Two desks in a capture: the second comes at 2 s with a higher priority and leaves at 4 s; lost 2.5 s later (E1.31 §6.7.1).</summary>
public sealed class CaptureSendersTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData(1, "desk")]
    [InlineData(3, "guest")]
    [InlineData(5, "guest")]
    [InlineData(7, "desk")]
    public void Whoever_wins_is_told_at_any_time_backwards_too(double at, string who)
    {
        var (rig, path) = Written();
        using var senders = new CaptureSenders(rig, path, CaptureIndex.Open(path));
        var asked = new[] { new UniverseAddress(new UniverseNumber(1), 101), new UniverseAddress(new UniverseNumber(8), 1) };
        foreach (var first in new double[] { 0, 7.5, 3 })
        {
            senders.At(TimeSpan.FromSeconds(first), asked);
            var there = senders.At(TimeSpan.FromSeconds(at), asked);
            Assert.Equal(who, Assert.Single(there[0], s => s.Wins).Name);
            Assert.Empty(there[1]);
        }

        // The same as the verbs' answer, that plays it all.
        using var show = new CaptureShow(rig, path);
        var (drive, channel) = (LevelsQuestion.Answer(show, rig.Fixtures, TimeSpan.FromSeconds(at))[0].Drives[0], rig.Fixtures[0].Mode.Channels[0]);
        Assert.Equal(who, Assert.Single(drive.Sources, s => s.Source.Wins).Source.Name);
        Assert.Equal(channel.Offsets.Count == 1 ? (who == "desk" ? 40 : 90) : (who == "desk" ? 0x2828 : 0x5A5A),
            drive.Sources.Single(s => s.Source.Wins).Raw);
        Assert.False(drive.IsFought);
    }

    [Fact]
    public void A_channel_whose_bytes_are_won_by_different_sources_says_so()
    {
        var (rig, _) = Written();
        var channels = rig.Fixtures[0].Mode.Channels.Where(c => c.Offsets.Count == 2).Take(1).ToList();
        Assert.NotEmpty(channels);
        using var still = new StillShow(rig);
        var state = still.Stage.StateOf(rig.Fixtures[0].Index, TimeSpan.Zero).Attributes.Single(a => a.Channel == channels[0].Name);
        var drive = DriveQuestion.Of([state],
            addresses => [.. addresses.Select((_, i) => (IReadOnlyList<AddressSource>)[Says("a", i == 0), Says("b", i == 1)])]);
        Assert.True(Assert.Single(drive).IsSplit);
        Assert.False(Assert.Single(DriveQuestion.Of([state],
            addresses => [.. addresses.Select(_ => (IReadOnlyList<AddressSource>)[Says("a", true), Says("b", false)])])).IsSplit);

        static AddressSource Says(string name, bool wins) => new(SourceProtocol.E131, name, SourceStanding.Live, 100, 7, 0, false, wins) { Id = name };
    }

    private (RigScene Rig, string Path) Written()
    {
        var rig = RigFiles.Open(_folder.File("a.rig.jsonc", $$"""
            { "name": "Small", "profiles": ["{{Repo.File("assets", "fixtures")}}"],
              "hangs": [{ "name": "one", "profile": "spot-head", "at": [0, 0, 6], "patch": "1.101" }] }
            """));
        var path = _folder["two.pcapng"];
        using var writer = new PcapngWriter(File.Create(path), new DateTimeOffset(2026, 1, 2, 3, 4, 5, TimeSpan.Zero));
        var packet = new byte[E131Numbers.LongestDataPacket];
        for (var i = 0; i <= 80; i++)
        {
            Write(i, 1, "desk"u8, 100, 40);
            if (i is >= 20 and <= 40)
            {
                Write(i, 2, "guest"u8, 120, 90);
            }
        }

        return (rig, path);

        void Write(int i, ulong cid, ReadOnlySpan<byte> name, byte priority, int level)
        {
            var length = E131Writer.Write(packet, new E131DataPacket
            {
                Cid = new Cid(1, cid), SourceName = name, Priority = priority, Sequence = (byte)i, Universe = new UniverseNumber(1),
                Levels = LevelsCapture.Even(512, level),
            });
            writer.Write(TimeSpan.FromSeconds(i / 10.0), SourceAddress.IPv4(0x0A00_0000 + (uint)cid, 5568), SourceAddress.IPv4(0xEFFF_0001, 5568),
                packet.AsSpan(0, length));
        }
    }
}
