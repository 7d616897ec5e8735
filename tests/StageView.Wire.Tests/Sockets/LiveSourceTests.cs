using System.Net;
using System.Net.Sockets;
using StageView.Wire.E131;
using StageView.Wire.Levels;
using StageView.Wire.Sockets;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Wire.Tests.Sockets;

[Collection("sockets")]
public sealed class LiveSourceTests
{
    // Conditions are waited for, however long a busy machine takes; nothing here asserts a time.
    private static readonly TimeSpan s_long = TimeSpan.FromSeconds(60);

    private static ListenOptions Options(bool portable, params int[] universes) => Ports.Options(universes) with { Portable = portable };

    private static Socket Sender()
    {
        var socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        socket.SetSocketOption(SocketOptionLevel.IP, SocketOptionName.MulticastInterface, IPAddress.Loopback.GetAddressBytes());
        return socket;
    }

    private static bool Within(TimeSpan time, Func<bool> condition) => SpinWait.SpinUntil(condition, time);

    private static byte Level(LiveSource live, int universe) =>
        live.Read(m => m.TryGetLevels(new UniverseNumber(universe), out var levels) ? levels[0] : (byte)0);

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void Unicast_multicast_and_Art_Net_arrive(bool portable)
    {
        var options = Options(portable, 3, 600);
        using var live = LiveSource.Listen(WireSettings.Default, options, new RecordingSink(), TimeProvider.System, TestContext.Current.CancellationToken);
        using var sender = Sender();
        sender.SendTo(Packets.Data(1, 1, 1, Packets.Levels(512, 11)), new IPEndPoint(IPAddress.Loopback, options.E131Port));
        sender.SendTo(Packets.Data(1, 600, 1, Packets.Levels(512, 66)), new IPEndPoint(E131Numbers.Group(600), options.E131Port));
        sender.SendTo(Packets.ArtDmx(8, 1, Packets.Levels(512, 99)), new IPEndPoint(IPAddress.Loopback, options.ArtNetPort));
        Assert.True(Within(s_long, () => (Level(live, 1), Level(live, 600), Level(live, 9)) == (11, 66, 99)));
        Assert.Equal(3, live.Received);
        Assert.Equal(OperatingSystem.IsLinux() ? 0 : -1, live.KernelDrops);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void IPv6_unicast_arrives_beside_IPv4(bool portable)
    {
        if (!Socket.OSSupportsIPv6)
        {
            Assert.Skip("this machine has no IPv6");
        }

        var options = Options(portable) with { Addresses = ["127.0.0.1", "::1"], JoinGroups = false };
        using var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
        using var six = new Socket(AddressFamily.InterNetworkV6, SocketType.Dgram, ProtocolType.Udp);
        six.SendTo(Packets.Data(1, 1, 1, Packets.Levels(512, 61)), new IPEndPoint(IPAddress.IPv6Loopback, options.E131Port));
        using var sender = Sender();
        sender.SendTo(Packets.Data(1, 2, 1, Packets.Levels(512, 41)), new IPEndPoint(IPAddress.Loopback, options.E131Port));
        Assert.True(Within(s_long, () => (Level(live, 1), Level(live, 2)) == (61, 41)));
        Assert.StartsWith("[::1]:", live.Read(m => m.Health()).Universes[0].Sources.Single().Address, StringComparison.Ordinal);
    }

    [Fact]
    public void Groups_are_joined_past_one_sockets_limit_and_followed_as_the_patch_changes()
    {
        var options = Options(false, [.. Enumerable.Range(1, 95)]);
        using var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
        Assert.Empty(live.Notes);
        using var sender = Sender();
        for (var u = 1; u <= 96; u++)
        {
            sender.SendTo(Packets.Data(1, u, 1, Packets.Levels(512, (byte)u)), new IPEndPoint(E131Numbers.Group(u), options.E131Port));
        }

        Assert.True(Within(s_long, () => Enumerable.Range(1, 95).All(u => Level(live, u) == u)));
        Assert.Equal(0, Level(live, 96));
        Assert.Equal(95, live.Received);

        live.Follow([new UniverseNumber(96), new UniverseNumber(2)]);
        sender.SendTo(Packets.Data(1, 1, 2, Packets.Levels(512, 201)), new IPEndPoint(E131Numbers.Group(1), options.E131Port));
        sender.SendTo(Packets.Data(1, 96, 2, Packets.Levels(512, 202)), new IPEndPoint(E131Numbers.Group(96), options.E131Port));
        Assert.True(Within(s_long, () => Level(live, 96) == 202));
        Assert.Equal(1, Level(live, 1));
    }

    [Fact]
    public void The_group_of_a_synchronisation_address_is_joined_while_a_source_names_it()
    {
        // §9.3: synchronisation packets go to the group of their own address, which is no patched universe.
        var options = Options(false, 1);
        using var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
        using var sender = Sender();
        byte sequence = 0;
        void Data(byte level, ushort sync, bool terminated = false) =>
            sender.SendTo(Packets.Data(1, 1, ++sequence, Packets.Levels(512, level), sync: sync, terminated: terminated),
                new IPEndPoint(E131Numbers.Group(1), options.E131Port));
        byte syncs = 0;
        bool SyncTaken()
        {
            var before = live.Read(m => m.Counters.Taken);
            sender.SendTo(Packets.Sync(1, 7962, ++syncs), new IPEndPoint(E131Numbers.Group(7962), options.E131Port));
            return Within(TimeSpan.FromMilliseconds(50), () => live.Read(m => m.Counters.Taken) > before);
        }

        Assert.False(SyncTaken());
        Data(1, 7962);
        Assert.True(Within(s_long, () => Level(live, 1) == 1));
        Assert.True(Within(s_long, SyncTaken));

        // On a busy machine the one that was taken may not be the last one sent: none that is still on its way may release what comes next.
        long taken;
        do
        {
            taken = live.Read(m => m.Counters.Taken);
        }
        while (Within(TimeSpan.FromMilliseconds(200), () => live.Read(m => m.Counters.Taken) > taken));

        Data(2, 7962);
        Assert.False(Within(TimeSpan.FromMilliseconds(100), () => Level(live, 1) == 2));
        Assert.True(Within(s_long, SyncTaken));
        Assert.True(Within(s_long, () => Level(live, 1) == 2));
        Data(2, 7962, terminated: true);
        Assert.True(Within(s_long, () => live.Read(m => m.Health()).Universes.Single().Sources.Single().Standing == SourceStanding.Ended));
        Assert.True(Within(s_long, () => !SyncTaken()));
    }

    [Fact]
    public void A_multicast_socket_is_deaf_to_unicast_on_addresses_that_were_not_named()
    {
        if (!OperatingSystem.IsLinux())
        {
            Assert.Skip("the socket filter is Linux's");
        }

        var options = Options(false, 1);
        using var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
        using var sender = Sender();
        // 127.0.0.9 is on this machine but wasn't named.
        sender.SendTo(Packets.Data(1, 1, 1, Packets.Levels(512, 50)), new IPEndPoint(IPAddress.Parse("127.0.0.9"), options.E131Port));
        sender.SendTo(Packets.Data(1, 2, 1, Packets.Levels(512, 60)), new IPEndPoint(IPAddress.Loopback, options.E131Port));
        Assert.True(Within(s_long, () => Level(live, 2) == 60));
        Assert.Equal(0, Level(live, 1));
    }

    [Fact]
    public void What_the_kernel_drops_is_counted_to_the_packet()
    {
        if (!OperatingSystem.IsLinux())
        {
            Assert.Skip("the kernel's count is read on Linux");
        }

        var options = Options(false) with { ReceiveBuffer = 65_536, JoinGroups = false };
        using var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
        using var sender = Sender();
        // The listening waits while the merger is read.
        live.Read(_ =>
        {
            for (var n = 0; n < 2000; n++)
            {
                sender.SendTo(Packets.Data(1, 1, (byte)n, Packets.Levels(512, 1)), new IPEndPoint(IPAddress.Loopback, options.E131Port));
            }

            return 0;
        });
        Assert.True(Within(s_long, () => live.Received + live.KernelDrops == 2000), $"{live.Received} received, {live.KernelDrops} dropped");
        Assert.InRange(live.KernelDrops, 1000, 1999);
    }

    [Fact]
    public void A_buffer_that_a_burst_would_overrun_is_told_with_the_setting_that_lifts_it()
    {
        using var live = LiveSource.Listen(WireSettings.Default,
            Options(false, [.. Enumerable.Range(1, 400)]) with { ReceiveBuffer = 65_536, JoinGroups = false }, null, TimeProvider.System,
            TestContext.Current.CancellationToken);
        Assert.Contains("sysctl -w net.core.rmem_max=", Assert.Single(live.Notes), StringComparison.Ordinal);
    }

    [Fact]
    public void It_stops_cleanly_and_frees_its_ports()
    {
        var options = Options(false, 1);
        using (LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken))
        {
        }

        using var alone = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp) { ExclusiveAddressUse = true };
        alone.Bind(new IPEndPoint(IPAddress.Loopback, options.E131Port));
        var held = Assert.Throws<ListenException>(
            () => LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken));
        Assert.Contains($"another program holds port {options.E131Port}", held.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("203.0.113.7", "is no address of this machine")]
    [InlineData("console", "is no local address")]
    [InlineData("0.0.0.0", "is no local address")]
    public void An_address_that_is_not_ours_gets_a_clear_error(string address, string expected)
    {
        var e = Assert.Throws<ListenException>(
            () => LiveSource.Listen(WireSettings.Default, Options(false) with { Addresses = [address] }, null, TimeProvider.System,
                TestContext.Current.CancellationToken));
        Assert.Contains(expected, e.Message, StringComparison.Ordinal);
        Assert.Contains("127.0.0.1", e.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public void A_group_is_joined_once_by_an_interface_with_two_addresses(bool portable)
    {
        var options = Options(portable, 3) with { Addresses = ["127.0.0.1", "127.0.0.2"] };
        using var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
        using var sender = Sender();
        for (byte i = 1; i <= 5; i++)
        {
            sender.SendTo(Packets.Data(1, 3, i, Packets.Levels(512, i)), new IPEndPoint(E131Numbers.Group(3), options.E131Port));
        }

        sender.SendTo(Packets.Data(1, 1, 1, Packets.Levels(512, 11)), new IPEndPoint(IPAddress.Loopback, options.E131Port));
        sender.SendTo(Packets.Data(1, 2, 1, Packets.Levels(512, 22)), new IPEndPoint(IPAddress.Parse("127.0.0.2"), options.E131Port));
        Assert.True(Within(s_long, () => (Level(live, 3), Level(live, 1), Level(live, 2)) == (5, 11, 22)));
        // What came twice would be there by now, or soon.
        Assert.False(Within(TimeSpan.FromMilliseconds(300), () => live.Received > 7));
    }

    [Fact]
    public void Another_program_on_our_address_and_port_is_told()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "other systems don't tell who listens");
        var options = Options(false, 1);
        using var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
        Assert.Empty(live.SharedPorts);
        using (var other = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp))
        {
            ISocketSystem.Here.AllowReuse(other);
            other.Bind(new IPEndPoint(IPAddress.Loopback, options.E131Port));
            Assert.True(Within(s_long, () => live.SharedPorts.SequenceEqual([$"127.0.0.1:{options.E131Port}"])));
            // And it is so: one of the two hears nothing.
            using var sender = Sender();
            sender.SendTo(Packets.Data(1, 1, 1, Packets.Levels(512, 50)), new IPEndPoint(IPAddress.Loopback, options.E131Port));
            other.ReceiveTimeout = 60_000;
            Assert.True(other.Receive(new byte[1500]) > 600);
            Assert.Equal(0, live.Received);
        }

        Assert.True(Within(s_long, () => live.SharedPorts.Count == 0));
    }
}
