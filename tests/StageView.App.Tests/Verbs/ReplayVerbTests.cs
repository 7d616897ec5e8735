using System.Diagnostics;
using System.Net;
using System.Net.NetworkInformation;
using System.Net.Sockets;
using System.Text;
using System.Text.Json;
using StageView.Wire.Capture;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.App.Tests.Verbs;

/// <summary>What <c>replay</c> says and asks before it sends to another address than loopback (here a network card of this machine), and how it ends.</summary>
[Collection("network ports")]
public sealed class ReplayVerbTests : IDisposable
{
    private readonly TempFolder _folder = new();
    private readonly Socket _listener = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp) { ReceiveTimeout = 120_000 };

    public void Dispose()
    {
        _listener.Dispose();
        _folder.Dispose();
    }

    /// <summary>Listens on a card's own address; skips where there is none.</summary>
    private string Card()
    {
        var own = NetworkInterface.GetAllNetworkInterfaces().Where(n => n.OperationalStatus == OperationalStatus.Up)
            .SelectMany(n => n.GetIPProperties().UnicastAddresses).Select(a => a.Address)
            .FirstOrDefault(a => a.AddressFamily == AddressFamily.InterNetwork && !IPAddress.IsLoopback(a));
        Assert.SkipWhen(own is null, "this machine has no network card with an IPv4 address");
        return Listen(own!);
    }

    private string Listen(IPAddress address)
    {
        _listener.Bind(new IPEndPoint(address, E131Numbers.Port));
        return address.ToString();
    }

    /// <summary>A packet at once, another in an hour.</summary>
    private string Capture(double second = 3600)
    {
        var file = _folder.File("two.pcapng");
        using var writer = new PcapngWriter(File.Create(file), DateTimeOffset.UnixEpoch);
        var buffer = new byte[E131Numbers.LongestDataPacket];
        foreach (var (at, sequence) in new[] { (0.0, 1), (second, 2) })
        {
            var packet = new E131DataPacket
            {
                Cid = new Cid(0x7E57, 1), SourceName = "desk"u8, Priority = 100, Sequence = (byte)sequence, Universe = new UniverseNumber(3),
                Levels = [200, 100],
            };
            writer.Write(TimeSpan.FromSeconds(at), SourceAddress.IPv4(0x0A00_0001, 5568), SourceAddress.IPv4(0xEFFF_0003, 5568),
                buffer.AsSpan(0, E131Writer.Write(buffer, packet)));
        }

        return file;
    }

    private byte[] Heard()
    {
        var buffer = new byte[2048];
        return buffer[.._listener.Receive(buffer)];
    }

    private static void AssertCaution(string text)
    {
        string[] words = ["lasers", "strobes", "heads", "winches", "pyrotechnics", "relays", "hold the last look", "Art-Net", "ArtAddress", "E1.31 6.2.6"];
        foreach (var word in words)
        {
            Assert.Contains(word, text, StringComparison.Ordinal);
        }
    }

    [Theory]
    [InlineData("INT")]
    [InlineData("TERM")]
    [InlineData("HUP")]
    public async Task With_yes_the_caution_is_said_before_the_first_packet_and_a_signal_ends_the_stream(string signal)
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "signals are sent by kill");
        var card = Card();
        var said = _folder.File("said.txt");
        using var replay = Process.Start(new ProcessStartInfo("sh",
            ["-c", "exec dotnet \"$0\" replay \"$1\" --to \"$2\" --yes >/dev/null 2>\"$3\"", Path.Combine(AppContext.BaseDirectory, "stageview.dll"), Capture(),
                card, said]))!;
        Assert.Equal(0, Heard()[112]);
        // It is in the file already, or it came after the packet.
        AssertCaution(await File.ReadAllTextAsync(said, TestContext.Current.CancellationToken));
        using (var kill = Process.Start("kill", [$"-{signal}", $"{replay.Id}"]))
        {
            await kill.WaitForExitAsync(TestContext.Current.CancellationToken);
        }

        for (var i = 0; i < 3; i++)
        {
            var bytes = Heard();
            Assert.True(E131Parser.TryParse(bytes, out E131DataPacket packet, out var why), why.ToString());
            Assert.True(packet.Terminated);
            Assert.Equal((new Cid(0x7E57, 1), 3, 2 + i), (packet.Cid, packet.Universe.Value, packet.Sequence));
            Assert.Equal(0x40, bytes[112]);
        }

        await replay.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.Equal(0, _listener.Available);
    }

    [Fact]
    public void Without_a_terminal_and_without_yes_nothing_is_sent_and_the_error_says_why()
    {
        var run = CommandRun.Of("replay", Capture(0), "--to", Card());
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("--yes", run.Errors, StringComparison.Ordinal);
        Assert.Contains("nothing was sent", run.Errors, StringComparison.Ordinal);
        Assert.Single(run.Errors.Trim().Split('\n'));
        run.AssertPlainWords();
        Assert.Equal("", run.Output);
        Assert.Equal(0, _listener.Available);
    }

    [Fact]
    public void A_multicast_group_is_asked_about_too()
    {
        var run = CommandRun.Of("replay", Capture(0), "--to", "239.255.0.3");
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("nothing was sent", run.Errors, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("yes", 5)]
    [InlineData("no", 0)]
    public async Task On_a_terminal_it_asks_and_sends_nothing_before_yes(string answer, int packets)
    {
        Assert.SkipUnless(Tools.Has("script"), "script, which makes a terminal, is not here");
        var card = Card();
        var command = $"dotnet '{Path.Combine(AppContext.BaseDirectory, "stageview.dll")}' replay '{Capture(0)}' --to {card}";
        using var terminal = Process.Start(new ProcessStartInfo("script", ["-qec", command, "/dev/null"])
        {
            RedirectStandardInput = true, RedirectStandardOutput = true,
        })!;
        var said = new StringBuilder();
        var some = new char[256];
        while (!said.ToString().Contains("Type yes", StringComparison.Ordinal))
        {
            var read = await terminal.StandardOutput.ReadAsync(some, TestContext.Current.CancellationToken);
            Assert.NotEqual(0, read);
            said.Append(some, 0, read);
        }

        AssertCaution(said.ToString());
        Assert.Equal(0, _listener.Available);
        await terminal.StandardInput.WriteAsync(answer + "\n");
        await terminal.StandardInput.FlushAsync(TestContext.Current.CancellationToken);
        for (var i = 0; i < packets; i++)
        {
            Assert.Equal(i < 2 ? 0 : 0x40, Heard()[112]);
        }

        said.Append(await terminal.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken));
        await terminal.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.Equal(packets > 0 ? 0 : 1, terminal.ExitCode);
        Assert.Contains(packets > 0 ? "1 sACN stream ended" : "nothing was sent", said.ToString(), StringComparison.Ordinal);
        Assert.Equal(0, _listener.Available);
    }

    [Fact]
    public void Loopback_is_not_asked_about_and_its_stream_is_ended_as_well()
    {
        var run = CommandRun.Of("replay", Capture(0), "--to", Listen(IPAddress.Parse("127.0.77.8")), "--json");
        Assert.True(run.ExitCode == 0, run.Errors);
        Assert.Equal("", run.Errors);
        Assert.Equal([0, 0, 0x40, 0x40, 0x40], Enumerable.Range(0, 5).Select(_ => Heard()[112]));
        using var json = JsonDocument.Parse(run.Output);
        Assert.Equal(1, json.RootElement.GetProperty("streamsEnded").GetInt32());
        Assert.Equal(JsonValueKind.Null, json.RootElement.GetProperty("caution").ValueKind);
    }
}
