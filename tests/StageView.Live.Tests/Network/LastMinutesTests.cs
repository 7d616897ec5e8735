using Microsoft.Extensions.Time.Testing;
using StageView.Live.Network;
using StageView.Live.Night;
using StageView.Wire.Capture;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Live.Tests.Network;

/// <summary>The last minutes, kept without a recording.</summary>
public sealed class LastMinutesTests : IDisposable
{
    private static readonly SourceAddress s_here = SourceAddress.IPv4(0x7F00_0001, 5568);
    private readonly TempFolder _folder = new();
    private readonly FakeTimeProvider _clock = new();
    private readonly NightJournal _journal;

    public LastMinutesTests() => _journal = new NightJournal(_clock);

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void What_is_older_is_gone_and_the_rest_can_be_gone_back_in_while_more_is_kept()
    {
        using var last = new LastMinutes(_folder.Path, TimeSpan.FromMinutes(10), 1 << 30, _clock, _journal);
        Assert.Null(last.Freeze(out var why));
        Assert.Equal("nothing was heard in the last minutes", why);
        Hear(last, seconds: 1500, from: 0);
        var frozen = last.Freeze(out _)!;
        Assert.InRange(frozen.Seconds, 570, 640);
        Assert.InRange(last.State()!.Seconds, 570, 600);

        // Every second in order, up to the last one, whatever pieces it lay in.
        var heard = CaptureReader.Read(frozen.File).Select(d => (d.At.TotalSeconds, Level(d.Payload.Span))).ToList();
        Assert.Equal((byte)(1499 % 251), heard[^1].Item2);
        for (var i = 1; i < heard.Count; i++)
        {
            Assert.Equal(1, heard[i].TotalSeconds - heard[i - 1].TotalSeconds, .001);
            Assert.Equal((heard[i - 1].Item2 + 1) % 251, heard[i].Item2);
        }

        Hear(last, seconds: 60, from: 1500);
        Assert.Equal(heard.Count, CaptureReader.Read(frozen.File).Count());
        Assert.Equal((byte)(1559 % 251), CaptureReader.Read(last.Freeze(out _)!.File).Select(d => Level(d.Payload.Span)).Last());
        Assert.Equal(2, last.Frozen.Count);
    }

    [Fact]
    public void No_more_is_taken_on_disk_than_allowed_and_only_the_newest_frozen_ones_stay()
    {
        const int most = 400_000;
        using var last = new LastMinutes(_folder.Path, TimeSpan.FromMinutes(10), most, _clock, _journal);
        for (var i = 0; i < 7; i++)
        {
            Hear(last, seconds: 60, from: i * 60);
            Assert.NotNull(last.Freeze(out _));
            Assert.InRange(last.State()!.Bytes, 1, most / 2);
            Assert.InRange(Directory.GetFiles(_folder.Path).Sum(f => new FileInfo(f).Length), 1, most);
        }

        // The newest is as long as the pieces are, so that no other stays beside it.
        var file = Assert.Single(Directory.GetFiles(_folder.Path, "frozen-*"));
        Assert.Equal(Assert.Single(last.Frozen).File, file);
        Assert.Equal((byte)(419 % 251), CaptureReader.Read(file).Select(d => Level(d.Payload.Span)).Last());
    }

    [Fact]
    public void Frozen_minutes_are_saved_under_their_day_and_time_and_never_over_another_file()
    {
        using var last = new LastMinutes(_folder.Path, TimeSpan.FromMinutes(10), 1 << 30, _clock, _journal);
        Hear(last, seconds: 5, from: 0);
        var frozen = last.Freeze(out _)!;
        var recordings = Path.Combine(_folder.Path, "recordings");
        Assert.True(last.Save(frozen.Name, recordings).Ok);
        var saved = Assert.Single(Directory.GetFiles(recordings));
        Assert.EndsWith($"{frozen.Name}.pcapng", saved, StringComparison.Ordinal);
        Assert.Equal(5, CaptureReader.Read(saved).Count());
        Assert.False(last.Save(frozen.Name, recordings).Ok);
        Assert.False(last.Save("../../etc/passwd", recordings).Ok);
    }

    [Fact]
    public void Nothing_is_kept_when_nothing_shall_be()
    {
        using var last = new LastMinutes(_folder.Path, TimeSpan.Zero, 1 << 30, _clock, _journal);
        Hear(last, seconds: 5, from: 0);
        Assert.Null(last.State());
        Assert.Null(last.Freeze(out _));
        Assert.Empty(Directory.GetFiles(_folder.Path));
    }

    [Fact]
    public void A_disk_that_refuses_is_told()
    {
        using var last = new LastMinutes(Path.Combine(_folder.Path, "no such folder"), TimeSpan.FromMinutes(10), 1 << 30, _clock, _journal);
        Hear(last, seconds: 1, from: 0);
        Assert.Null(last.Freeze(out var why));
        Assert.StartsWith("the last minutes are kept no more: ", why, StringComparison.Ordinal);
        Assert.Equal(why, last.State()!.Trouble);
    }

    /// <summary>A packet a second, whose first level counts.</summary>
    private void Hear(LastMinutes last, int seconds, int from)
    {
        var packet = new byte[E131Numbers.LongestDataPacket];
        var levels = new byte[512];
        for (var i = from; i < from + seconds; i++)
        {
            levels[0] = (byte)(i % 251);
            var length = E131Writer.Write(packet, new E131DataPacket
            {
                Cid = Cid.From(new Guid(1, 2, 3, new byte[8])), SourceName = "desk"u8, Priority = 100, Universe = new UniverseNumber(1), Sequence = (byte)i,
                Levels = levels,
            });
            last.OnDatagram(default, s_here, s_here,
                packet.AsSpan(0, length));
            _clock.Advance(TimeSpan.FromSeconds(1));
        }
    }

    private static byte Level(ReadOnlySpan<byte> payload) => E131Parser.TryParse(payload, out E131DataPacket p, out _) ? p.Levels[0] : (byte)255;
}
