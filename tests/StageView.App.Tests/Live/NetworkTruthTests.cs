using System.Net;
using System.Net.Sockets;
using System.Text.Json;
using Microsoft.Extensions.Time.Testing;
using StageView.Live.Night;
using StageView.Live.Shown;
using StageView.Live.Terms;
using StageView.Wire.ArtNet;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.App.Tests.Live;

/// <summary>
/// What the page shows of who sends and who wins, fed by datagrams: the same that the merge does. Times of loss are those of E1.31
/// (2.5 s, §6.7.1) and of Art-Net 4 (a source that merges is held for 10 s, and still levels are repeated every 4 s at the latest).
/// </summary>
public sealed class NetworkTruthTests : IDisposable
{
    private readonly RigCopy _copy = new("one-mirror");
    private readonly FakeTimeProvider _clock = new();
    private readonly NightJournal _journal;
    private readonly (int Sacn, int ArtNet) _ports = (FreePort.Udp(), FreePort.Udp());
    private readonly Socket _socket = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
    private byte _sequence;

    public NetworkTruthTests() => _journal = new NightJournal(_clock);

    public void Dispose()
    {
        _socket.Dispose();
        _copy.Dispose();
    }

    [Fact]
    public async Task Art_Net_repeated_every_four_seconds_is_never_told_as_stopped_and_is_after_ten()
    {
        using var show = await Start("");
        for (byte n = 1; n <= 3; n++)
        {
            ArtNet(n);
            await Becomes(() => Level(show) == n);
            for (var t = 0.0; t < 3.6; t += .6)
            {
                await Pass(show);
                var source = Source(show, "Art-Net");
                Assert.Equal(("heard", "sending", true),
                    (One(show).GetProperty("state").GetString(), source.GetProperty("state").GetString(), source.GetProperty("share").GetBoolean()));
            }
        }

        Assert.False(Says("stopped"), _journal.ToText());
        for (var t = 0.0; t < 8; t += .6)
        {
            await Pass(show);
        }

        await Becomes(() => One(show).GetProperty("state").GetString() == "lost", () => _clock.Advance(TimeSpan.FromSeconds(.1)));
        var gone = Source(show, "Art-Net");
        Assert.Equal(("held", 512, 512), (gone.GetProperty("state").GetString(), gone.GetProperty("wins").GetInt32(), gone.GetProperty("of").GetInt32()));
        Assert.True(Says("stopped sending"));
        Assert.Equal(3, Level(show));
    }

    [Fact]
    public async Task Who_wins_by_priorities_of_single_addresses_is_shown_as_winning()
    {
        using var show = await Start("\"perAddressPriority\": true");

        // A outranks B on the first hundred addresses, gives up the next hundred, and is outranked on the rest.
        byte[] priorities = [.. Enumerable.Repeat((byte)150, 100), .. Enumerable.Repeat((byte)0, 100), .. Enumerable.Repeat((byte)100, 312)];
        void Both()
        {
            Sacn("desk A", 1, 100, 40);
            Sacn("desk A", 1, 100, priorities, startCode: 0xDD);
            Sacn("desk B", 2, 120, 200);
        }

        await Becomes(() => Level(show) == 40, () =>
        {
            Both();
            _clock.Advance(TimeSpan.FromSeconds(.2));
        });
        for (var i = 0; i < 4; i++)
        {
            Both();
            await Pass(show);
        }

        Assert.True(Source(show, "desk A").GetProperty("share").GetBoolean());
        Assert.Equal((true, 100, 412), Share(Source(show, "desk A")));
        Assert.Equal((true, 412, 512), Share(Source(show, "desk B")));
        priorities.AsSpan().Fill(150);
        await Becomes(() => Share(Source(show, "desk B")) == (false, 0, 512), () =>
        {
            Both();
            _clock.Advance(TimeSpan.FromSeconds(.2));
        });
        Assert.Equal((true, 512, 512), Share(Source(show, "desk A")));
        Assert.Contains("priority", Source(show, "desk B").GetProperty("why").GetString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task Preview_that_the_rig_refuses_is_shown_as_ignored()
    {
        using var show = await Start("\"acceptPreview\": false");
        await Becomes(() => Level(show) == 40 && One(show).GetProperty("sources").GetArrayLength() == 2, () =>
        {
            Sacn("preview desk", 3, 150, 250, preview: true);
            Sacn("desk A", 1, 100, 40);
            _clock.Advance(TimeSpan.FromSeconds(.2));
        });
        var refused = Source(show, "preview desk");
        Assert.False(refused.GetProperty("share").GetBoolean());
        Assert.Equal(("ignored", 0), (refused.GetProperty("state").GetString(), refused.GetProperty("wins").GetInt32()));
        Assert.Contains("preview", refused.GetProperty("why").GetString(), StringComparison.Ordinal);
        Assert.Equal((true, 512, 512), Share(Source(show, "desk A")));
    }

    private static (bool Share, int Wins, int Of) Share(JsonElement source) =>
        (source.GetProperty("share").GetBoolean(), source.GetProperty("wins").GetInt32(), source.GetProperty("of").GetInt32());

    /// <summary>Universe 1 as the page is told of it.</summary>
    private static JsonElement One(LiveShow show) =>
        JsonSerializer.SerializeToElement(show.State(), LiveJson.Options).GetProperty("network").GetProperty("universes").EnumerateArray()
            .First(u => u.GetProperty("universe").GetInt32() == 1);

    private static JsonElement Source(LiveShow show, string what) =>
        One(show).GetProperty("sources").EnumerateArray()
            .First(s => s.GetProperty("name").GetString() == what || s.GetProperty("protocol").GetString() == what);

    private static long Level(LiveShow show) => ((FixtureCard)show.Fixture(show.Rig.Fixtures[0].Name).Data!).Channels.First(c => c.Address == "1.1").Raw >> 8;

    private async Task<LiveShow> Start(string network)
    {
        var text = await File.ReadAllTextAsync(_copy.File, TestContext.Current.CancellationToken);
        text = text.Replace("\"haze\":", $"\"network\": {{ {network} }},\n  \"haze\":", StringComparison.Ordinal);
        await File.WriteAllTextAsync(_copy.File, text, TestContext.Current.CancellationToken);
        return new LiveShow(
            new LiveShowOptions
            {
                RigFile = _copy.File, Recordings = Path.Combine(_copy.Folder, "recordings"), Looks = _copy.Folder, LookAtFiles = TimeSpan.FromMilliseconds(20),
                E131Port = _ports.Sacn, ArtNetPort = _ports.ArtNet,
            },
            _journal, _clock);
    }

    /// <summary>Lets the show's time pass until the network was looked at once more.</summary>
    private async Task Pass(LiveShow show)
    {
        var before = show.State().Network;
        _clock.Advance(TimeSpan.FromSeconds(.6));
        await Becomes(() => !ReferenceEquals(show.State().Network, before), () => _clock.Advance(TimeSpan.FromMilliseconds(5)));
    }

    private bool Says(string text) => _journal.Newest(1000).Any(e => e.Text.Contains(text, StringComparison.Ordinal));

    private async Task Becomes(Func<bool> holds, Action? meanwhile = null)
    {
        var from = TimeProvider.System.GetTimestamp();
        while (!holds())
        {
            Assert.True(TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromSeconds(60), "it never came about; the journal says:\n" + _journal.ToText());
            meanwhile?.Invoke();
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }
    }

    private void ArtNet(byte level)
    {
        Span<byte> levels = stackalloc byte[512];
        levels.Fill(level);
        Span<byte> packet = stackalloc byte[ArtNetNumbers.LongestDmxPacket];
        var length = ArtNetWriter.Write(packet, new ArtDmxPacket { PortAddress = 0, Sequence = 0, Levels = levels });
        _socket.SendTo(packet[..length], new IPEndPoint(IPAddress.Loopback, _ports.ArtNet));
    }

    private void Sacn(string name, int cid, byte priority, byte level, bool preview = false)
    {
        Span<byte> levels = stackalloc byte[512];
        levels.Fill(level);
        Sacn(name, cid, priority, levels, 0, preview);
    }

    private void Sacn(string name, int cid, byte priority, ReadOnlySpan<byte> slots, byte startCode, bool preview = false)
    {
        Span<byte> packet = stackalloc byte[E131Numbers.LongestDataPacket];
        var length = E131Writer.Write(packet, new E131DataPacket
        {
            Cid = new Cid(1, (ulong)cid), SourceName = System.Text.Encoding.UTF8.GetBytes(name), Priority = priority,
            Universe = new UniverseNumber(1), Sequence = _sequence++,
            Preview = preview, StartCode = startCode, Levels = slots,
        });
        _socket.SendTo(packet[..length], new IPEndPoint(IPAddress.Loopback, _ports.Sacn));
    }
}
