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
}
