using System.Net;
using System.Net.Sockets;
using StageView.Wire.Datagrams;
using StageView.Wire.Levels;
using StageView.Wire.Sockets;

namespace StageView.Wire.Tests.Sockets;

[Collection("sockets")]
public sealed class AllocationTests
{
    [Fact]
    public void The_receiving_thread_allocates_nothing_for_a_packet()
    {
        if (!OperatingSystem.IsLinux())
        {
            Assert.Skip("the batched receiver is Linux's");
        }

        var options = Ports.Options(1);
        var probe = new Probe();
        using var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
        live.Tap(probe);
        using var sender = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        sender.Connect(new IPEndPoint(IPAddress.Loopback, options.E131Port));
        for (var i = 0; i < 3000; i++)
        {
            sender.Send(Packets.Data(1, 1, (byte)i, Packets.Levels(512, (byte)i)));
            if (i % 100 == 99)
            {
                Assert.True(SpinWait.SpinUntil(() => probe.Count == i + 1, TimeSpan.FromSeconds(60)));
            }
        }

        // From packet 1000 to 2900, all on the receiving thread.
        Assert.InRange(probe.Allocated, 0, 1900);
    }

    private sealed class Probe : IDatagramTap
    {
        private long _before;

        public int Count { get; private set; }

        public long Allocated { get; private set; }

        public void OnDatagram(TimeSpan at, SourceAddress from, SourceAddress to, ReadOnlySpan<byte> payload)
        {
            Count++;
            if (Count == 1000)
            {
                _before = GC.GetAllocatedBytesForCurrentThread();
            }
            else if (Count == 2900)
            {
                Allocated = GC.GetAllocatedBytesForCurrentThread() - _before;
            }
        }
    }
}
