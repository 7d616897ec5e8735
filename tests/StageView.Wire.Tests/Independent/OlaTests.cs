using System.Diagnostics;
using System.Net;
using System.Net.NetworkInformation;
using System.Net.Sockets;
using StageView.Wire.E131;
using StageView.Wire.Levels;
using StageView.Wire.Sockets;
using StageView.Wire.Tallies;
using StageView.Wire.Universes;

namespace StageView.Wire.Tests.Independent;

/// <summary>
/// Debian's ola, a C++ implementation of long standing, over a veth pair: multicast, discovery and termination; IPv6 multicast on the same pair; and Art-Net,
/// as a controller that polls.
/// </summary>
[Collection("ola")]
public sealed class OlaTests
{
    private static bool Within(Func<bool> condition) => SpinWait.SpinUntil(condition, TimeSpan.FromSeconds(60));

    [Fact]
    public void Olas_levels_and_termination_are_understood()
    {
        using var ola = Start("5", "88");
        try
        {
            if (Ready(ola) is not { } ready)
            {
                return;
            }

            // The standard port: ola knows no other. The address is the pair's own, so nothing else is heard.
            var options = new ListenOptions { Universes = [new UniverseNumber(5)], Addresses = [ready.Address] };
            using var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
            Assert.True(Within(() => live.Read(m => m.TryGetLevels(new UniverseNumber(5), out var l) && l[0] == 88 && l[511] == 88)));
            Assert.Equal(("OLA Server", 512), live.Read(m => m.Health()).Universes.Single().Sources.Select(s => (s.Name, s.Slots)).Single());
            // Every 10 s (E131_UNIVERSE_DISCOVERY_INTERVAL), in the layout of the draft of 2014, by the group of universe 64214.
            Assert.True(Within(() => live.Read(m => m.Health()).Senders.Single().Offers is [5]));
            IPv6(ready.Device);
            ola.StandardInput.WriteLine("stop");
            ola.StandardInput.Flush();
            Assert.True(Within(() => live.Read(m => m.Health()).Universes.Single().Sources.Single().Standing != SourceStanding.Live));
            Assert.Equal(SourceStanding.Ended, live.Read(m => m.Health()).Universes.Single().Sources.Single().Standing);
        }
        finally
        {
            End(ola);
        }
    }

    [Fact]
    public void Olas_controller_finds_us_by_our_poll_reply_and_sends_to_us_alone()
    {
        using var ola = Start("5", "88", "artnet");
        try
        {
            if (Ready(ola) is not { } ready)
            {
                return;
            }

            // Port-address 5 is universe 6; the others lie in three sub-nets and two nets, so the answer has four pages.
            var options = new ListenOptions { Universes = [.. new[] { 3, 6, 22, 34, 300 }.Select(u => new UniverseNumber(u))], Addresses = [ready.Address] };
            using var live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
            // It sends by unicast, to nodes whose reply told it that they take the port-address, and to nobody else.
            Assert.True(Within(() => live.Read(m => m.TryGetLevels(new UniverseNumber(6), out var l) && l[0] == 88 && l[511] == 88)));
            ola.StandardInput.WriteLine("nodes");
            ola.StandardInput.Flush();
            Assert.Contains(ready.Address, ola.StandardOutput.ReadLine(), StringComparison.Ordinal);
        }
        finally
        {
            End(ola);
        }
    }

    private static Process Start(params string[] arguments)
    {
        Tools.Need("olad", "ola");
        Tools.Need("ip", "iproute2");
        Tools.Need("setpriv", "util-linux");
        if (Environment.UserName != "root")
        {
            Assert.Skip("a network namespace needs root");
        }

        return Tools.Start("bash", [Repo.File("tests", "independent", "ola.sh"), .. arguments]);
    }

    private static (string Address, string Device)? Ready(Process ola)
    {
        if (ola.StandardOutput.ReadLine()?.Split(' ') is ["ready", var address, var device])
        {
            return (address, device);
        }

        Assert.Skip("a network namespace could not be made here: " + ola.StandardError.ReadToEnd().Trim());
        return null;
    }

    private static void End(Process ola)
    {
        ola.StandardInput.Close();
        if (!ola.WaitForExit(10_000))
        {
            ola.Kill(entireProcessTree: true);
        }
    }

    // Sent by us on the interface, heard through its multicast loop: shows the join and the group of §9.3.2.
    private static void IPv6(string device)
    {
        var local = NetworkInterface.GetAllNetworkInterfaces().Single(n => n.Name == device).GetIPProperties().UnicastAddresses
            .Select(u => u.Address).FirstOrDefault(a => a.IsIPv6LinkLocal);
        if (local is null)
        {
            return;
        }

        var options = Sockets.Ports.Options(7) with { Addresses = [local.ToString()] };
        // A link-local address is tentative for a second or two after the pair came up.
        LiveSource? live = null;
        Assert.True(Within(() =>
        {
            try
            {
                live = LiveSource.Listen(WireSettings.Default, options, null, TimeProvider.System, TestContext.Current.CancellationToken);
                return true;
            }
            catch (ListenException)
            {
                return false;
            }
        }));
        using (live)
        using (var sender = new Socket(AddressFamily.InterNetworkV6, SocketType.Dgram, ProtocolType.Udp))
        {
            sender.SetSocketOption(SocketOptionLevel.IPv6, SocketOptionName.MulticastInterface, (int)local.ScopeId);
            byte sequence = 0;
            Assert.True(Within(() =>
            {
                sender.SendTo(Packets.Data(1, 7, ++sequence, Packets.Levels(512, 66)), new IPEndPoint(E131Numbers.Group6(7), options.E131Port));
                return live!.Read(m => m.TryGetLevels(new UniverseNumber(7), out var l) && l[0] == 66);
            }));
            // No longer patched: its group is left, and the next one's joined.
            live!.Follow([new UniverseNumber(8)]);
            sender.SendTo(Packets.Data(1, 7, ++sequence, Packets.Levels(512, 67)), new IPEndPoint(E131Numbers.Group6(7), options.E131Port));
            Assert.True(Within(() =>
            {
                sender.SendTo(Packets.Data(1, 8, ++sequence, Packets.Levels(512, 68)), new IPEndPoint(E131Numbers.Group6(8), options.E131Port));
                return live.Read(m => m.TryGetLevels(new UniverseNumber(8), out var l) && l[0] == 68);
            }));
            Assert.Equal(66, live.Read(m => m.TryGetLevels(new UniverseNumber(7), out var l) ? l[0] : 0));
        }
    }
}
