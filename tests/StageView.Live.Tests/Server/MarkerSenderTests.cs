using System.Net;
using System.Net.Sockets;
using Microsoft.Extensions.Time.Testing;
using StageView.Live.Measuring;
using StageView.Wire.E131;

namespace StageView.Live.Tests.Server;

/// <summary>The marker's stream ends as ANSI E1.31-2018 §6.2.6 says: three packets with bit 6 of the options.</summary>
public sealed class MarkerSenderTests
{
    [Fact]
    public void A_measurement_that_ends_ends_its_stream()
    {
        using var listener = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp) { ReceiveTimeout = 60_000 };
        listener.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        var clock = new FakeTimeProvider();
        var marker = new MarkerSender(63999, ((IPEndPoint)listener.LocalEndPoint!).Port, clock);
        clock.Advance(TimeSpan.FromMilliseconds(130));
        marker.Dispose();
        marker.Dispose();
        var buffer = new byte[2048];
        for (var i = 0; i < 4; i++)
        {
            var length = listener.Receive(buffer);
            Assert.True(E131Parser.TryParse(buffer.AsSpan(0, length), out E131DataPacket packet, out var why), why.ToString());
            Assert.Equal((63999, i + 1, i > 0), (packet.Universe.Value, packet.Sequence, packet.Terminated));
        }

        Assert.Equal(0, listener.Available);
    }

    [Fact]
    public void Every_sixteenth_level_comes_out_of_rest_and_is_told_apart()
    {
        using var listener = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp) { ReceiveTimeout = 60_000 };
        listener.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        var clock = new FakeTimeProvider();
        using var marker = new MarkerSender(63999, ((IPEndPoint)listener.LocalEndPoint!).Port, clock);
        var buffer = new byte[2048];
        for (var i = 1; i <= 15; i++)
        {
            clock.Advance(TimeSpan.FromMilliseconds(130));
            listener.Receive(buffer);
        }

        clock.Advance(TimeSpan.FromMilliseconds(1499));
        Assert.Equal(0, listener.Available);
        clock.Advance(TimeSpan.FromMilliseconds(1));
        Assert.True(E131Parser.TryParse(buffer.AsSpan(0, listener.Receive(buffer)), out E131DataPacket packet, out _));
        Assert.Equal(16, packet.Levels[0]);
        clock.Advance(TimeSpan.FromMilliseconds(90));
        marker.Seen(16, clock.GetTimestamp(), 0, window: false);
        marker.Seen(15, clock.GetTimestamp(), 0, window: false);
        Assert.Equal((90, 1590), (marker.State(16).FromRestToPageMs, marker.State(16).ToPageMs));
        Assert.Null(marker.State(16).FromRestToWindowMs);
    }
}
