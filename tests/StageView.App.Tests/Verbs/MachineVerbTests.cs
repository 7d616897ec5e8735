using System.Net;
using System.Net.Sockets;
using System.Text.Json;
using StageView.Show.Machine;

namespace StageView.App.Tests.Verbs;

public sealed class MachineVerbTests
{
    [Fact]
    public void It_says_what_draws_and_which_ports_are_free()
    {
        var told = CommandRun.Of("machine", "--json");
        Assert.Equal(0, told.ExitCode);
        using var json = JsonDocument.Parse(told.Output);
        var facts = json.RootElement.EnumerateArray().ToDictionary(f => f.GetProperty("what").GetString()!, f => f.GetProperty("found").GetString()!);
        Assert.Contains(" by EGL; light by ", facts["drawing"], StringComparison.Ordinal);
        Assert.Equal(["Art-Net, UDP 6454", "page, TCP 4960", "sACN, UDP 5568"],
            facts.Keys.Where(k => k.Contains("UDP", StringComparison.Ordinal) || k.Contains("TCP", StringComparison.Ordinal)).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void A_port_that_is_taken_is_told_with_what_to_do()
    {
        using var udp = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        udp.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        using var tcp = new Socket(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp);
        tcp.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        tcp.Listen();
        var (taken, page) = (((IPEndPoint)udp.LocalEndPoint!).Port, ((IPEndPoint)tcp.LocalEndPoint!).Port);
        var facts = MachineQuestion.Ask(page, [("levels", taken)]);
        Assert.Equal("another program has it", Assert.Single(facts, f => f.What == $"levels, UDP {taken}").Found);
        Assert.Equal("name another with live --port", Assert.Single(facts, f => f.What == $"page, TCP {page}").Do);
    }
}
