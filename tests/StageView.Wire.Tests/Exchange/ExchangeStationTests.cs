using System.Net;
using System.Net.Sockets;
using StageView.Wire.Exchange;
using StageView.Wire.Sockets;

namespace StageView.Wire.Tests.Exchange;

[Collection("sockets")]
public sealed class ExchangeStationTests
{
    private static readonly TimeSpan s_patience = TimeSpan.FromSeconds(30);
    private readonly int _names = FreePort.Udp();

    [Fact]
    public async Task Two_stations_find_each_other_and_hand_a_file_over()
    {
        var stop = TestContext.Current.CancellationToken;
        await using var a = await Join("tour one", "a", _names);
        await using var b = await Join("tour one", "b", _names);
        await Until(() => a.Stations.Count == 1 && b.Stations.Count == 1 && a.Stations[0].Provider.Length > 0 && b.Stations[0].Provider.Length > 0);
        Assert.Equal(("b", b.Id, b.Address.Port), (a.Stations[0].Name, a.Stations[0].Station, a.Stations[0].Port));

        var file = Bytes(300_000);
        var line = await a.Commit(file, "moved two heads", "show.mvr", stop);
        await Until(() => b.Commits.Count == 1);
        Assert.Equal(("a", "moved two heads", 300_000), (b.Commits[0].StationName, b.Commits[0].Line.Comment, b.Commits[0].Line.Bytes));
        Assert.Equal(line.File, b.Commits[0].Line.File);
        using var got = new MemoryStream();
        await b.Fetch(b.Commits[0], got, stop);
        Assert.Equal(file, got.ToArray());
        Assert.Empty(a.Commits);

        // One who comes later hears of it by joining; of the oldest, past the few that are kept, no more.
        for (var i = 0; i < ExchangeNumbers.MostOwnCommits; i++)
        {
            await a.Commit([1], $"{i}", "", stop);
        }

        await using var late = await Join("tour one", "late", _names);
        await Until(() => late.Commits.Count == ExchangeNumbers.MostOwnCommits);
        Assert.DoesNotContain(late.Commits, c => c.Line.File == line.File);
        var e = await Assert.ThrowsAsync<ExchangeException>(() => b.Fetch(b.Commits[0], Stream.Null, stop));
        Assert.Contains("not here", e.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Who_leaves_is_gone_with_its_commits_and_another_group_is_another()
    {
        var stop = TestContext.Current.CancellationToken;
        await using var a = await Join("tour one", "a", _names);
        await using var other = await Join("tour two", "other", _names);
        var b = await Join("tour one", "b", _names);
        await b.Commit([1, 2], "", "", stop);
        await Until(() => a.Commits.Count == 1);
        await b.DisposeAsync();
        await Until(() => a.Stations.Count == 0);
        Assert.Empty(a.Commits);
        Assert.Empty(other.Stations);
    }

    [Fact]
    public async Task A_name_that_another_has_is_refused()
    {
        var id = Guid.NewGuid();
        await using var a = await Join("tour one", "a", _names, id);
        // Whoever has the name answers within a quarter of a second (RFC 6762 §8.1); a busy machine may be later.
        ListenException? refused = null;
        for (var i = 0; i < 20 && refused is null; i++)
        {
            refused = await Record.ExceptionAsync(async () => await (await Join("tour one", "a", _names, id)).DisposeAsync()) as ListenException;
        }

        Assert.NotNull(refused);
        Assert.Contains("already", refused.Message, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData("table")]
    [InlineData("example")]
    public async Task A_station_of_another_hand_joins_commits_and_takes(string manner)
    {
        var stop = TestContext.Current.CancellationToken;
        using var folder = new TempFolder();
        await using var ours = await Join("tour one", "ours", _names);
        using var peer = new ExchangePeer("tour one", _names, manner);
        peer.Finds(1);
        await Until(() => ours.Stations.Count == 1 && ours.Stations[0].Provider == "test peer");

        var file = Bytes(123_457);
        await File.WriteAllBytesAsync(folder["sent.mvr"], file, stop);
        var told = peer.Ask($"commit {folder["sent.mvr"]} a new truss");
        Assert.True(told.GetProperty("answers")[0].GetProperty("OK").GetBoolean());
        await Until(() => ours.Commits.Count == 1);
        Assert.Equal(("a new truss", 123_457), (ours.Commits[0].Line.Comment, ours.Commits[0].Line.Bytes));
        using var got = new MemoryStream();
        await ours.Fetch(ours.Commits[0], got, stop);
        Assert.Equal(file, got.ToArray());

        var line = await ours.Commit(Bytes(70_001), "ours", "show.mvr", stop);
        var commit = peer.Ask("commits").GetProperty("commits").GetProperty($"{line.File}");
        Assert.Equal(("ours", 70_001), (commit.GetProperty("comment").GetString(), commit.GetProperty("size").GetInt32()));
        Assert.Equal(1, peer.Ask($"take {line.File} {folder["got.mvr"]}").GetProperty("kind").GetInt32());
        Assert.Equal(Bytes(70_001), await File.ReadAllBytesAsync(folder["got.mvr"], stop));

        Assert.Contains(peer.Ask("join").GetProperty("answers")[0].GetProperty("Commits").EnumerateArray(),
            c => c.GetProperty("FileUUID").GetGuid() == line.File);
        peer.Ask("leave");
        await Until(() => ours.Stations[0].Trouble.Contains("left", StringComparison.Ordinal));
        Assert.Empty(ours.Commits);
    }

    [Fact]
    public async Task Strangers_can_neither_fill_the_door_nor_break_it()
    {
        var stop = TestContext.Current.CancellationToken;
        var notes = new List<string>();
        await using var ours = await Join("tour one", "ours", _names);
        ours.Noted += t =>
        {
            lock (notes)
            {
                notes.Add(t);
            }
        };
        byte[][] hostile =
        [
            "GET / HTTP/1.1\r\nHost: somewhere else\r\n\r\n"u8.ToArray(), new byte[28], ExchangePacketTests.Packets(1, [1, 2, 3], 1),
            ExchangePacketTests.Packets(0, "{\"Type\":"u8.ToArray(), 1),
        ];
        foreach (var bytes in hostile)
        {
            using var client = new TcpClient();
            await client.ConnectAsync(ours.Address, stop);
            await client.GetStream().WriteAsync(bytes, stop);
            Assert.Equal(0, await client.GetStream().ReadAsync(new byte[10], stop));
        }

        // Each is told after its line was closed.
        await Until(() =>
        {
            lock (notes)
            {
                return notes.Count == hostile.Length;
            }
        });

        // More of one address than are served are closed at once; when they go, the next one is served.
        var crowd = new List<TcpClient>();
        for (var i = 0; i < ExchangeNumbers.MostConnectionsOfOne; i++)
        {
            crowd.Add(new TcpClient());
            await crowd[i].ConnectAsync(ours.Address, stop);
        }

        using (var refused = new TcpClient())
        {
            await refused.ConnectAsync(ours.Address, stop);
            Assert.Equal(0, await Read(refused, stop));
        }

        crowd.ForEach(c => c.Dispose());
        await Until(() => Ask(ours, new ExchangeMessage { Type = "MVR_FOO" })?.Ok == false);

        // A stranger who is no station can commit nothing, and sends nobody to another host.
        var told = new CommitLine(Guid.NewGuid(), Guid.NewGuid(), 5, "", "", []);
        Assert.False(Ask(ours, new ExchangeMessage { Type = ExchangeMessage.Commit, Told = told })!.Ok);
        Assert.Empty(ours.Commits);
        Assert.False(Ask(ours, new ExchangeMessage { Type = ExchangeMessage.NewHost, ServiceUrl = "ws://elsewhere" })!.Ok);
    }

    [Fact]
    public async Task Another_programs_browser_and_publisher_of_names_agree()
    {
        Tools.Need("avahi-daemon", "avahi-daemon");
        Tools.Need("avahi-browse", "avahi-utils");
        Tools.Need("dbus-daemon", "dbus-daemon");
        await using var ours = await Join("tour nine", "house desk", 5353);
        var id = Guid.NewGuid();
        using var silent = new TcpListener(IPAddress.Loopback, 0);
        silent.Start();
        var port = ((IPEndPoint)silent.LocalEndpoint).Port;
        using var avahi = Tools.Start("bash", Repo.File("tests", "independent", "avahi.sh"), "bash", "-c",
            $"avahi-publish -s '--subtype=_tour nine._sub._mvrxchange._tcp' 'a published one' _mvrxchange._tcp {port} 'StationName=published' "
            + $"StationUUID={id} >/dev/null 2>&1 & sleep 3; avahi-browse -t -r -p _mvrxchange._tcp; read wait; kill %1");
        var lines = "";
        while (await avahi.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken) is { } line)
        {
            lines += line + "\n";
            if (line.StartsWith("=;", StringComparison.Ordinal) && line.Contains($"{ours.Id}", StringComparison.Ordinal))
            {
                break;
            }
        }

        if (lines.Length == 0)
        {
            await avahi.WaitForExitAsync(TestContext.Current.CancellationToken);
            Assert.SkipWhen(avahi.ExitCode == 77, "avahi can't run here: " + await avahi.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken));
        }

        Assert.Contains($"127.0.0.1;{ours.Address.Port};", lines, StringComparison.Ordinal);
        Assert.Contains("StationName=house desk", lines, StringComparison.Ordinal);
        await Until(() => ours.Stations.Any(s => s.Station == id && s.Name == "published" && s.Port == port));
        avahi.StandardInput.WriteLine();
        avahi.StandardInput.Close();
        await Until(() => ours.Stations.All(s => s.Station != id));
        await avahi.WaitForExitAsync(TestContext.Current.CancellationToken);
    }

    private static Task<ExchangeStation> Join(string group, string name, int names, Guid? id = null) => ExchangeStation.Join(
        new ExchangeOptions { Group = group, StationName = name, Station = id ?? Guid.NewGuid(), Address = IPAddress.Loopback, NamesPort = names },
        TimeProvider.System, TestContext.Current.CancellationToken);

    private static ExchangeMessage? Ask(ExchangeStation station, ExchangeMessage message)
    {
        using var client = new TcpClient();
        client.Connect(station.Address);
        try
        {
            var stream = new ExchangeStream(client.GetStream(), TimeProvider.System);
            stream.Write(message, TestContext.Current.CancellationToken).GetAwaiter().GetResult();
            return stream.Read(TestContext.Current.CancellationToken).GetAwaiter().GetResult();
        }
        catch (IOException)
        {
            return null;
        }
    }

    private static async Task<int> Read(TcpClient client, CancellationToken stop)
    {
        try
        {
            return await client.GetStream().ReadAsync(new byte[10], stop);
        }
        catch (IOException)
        {
            return 0;
        }
    }

    private static byte[] Bytes(int count) => [.. Enumerable.Range(0, count).Select(i => (byte)(i * 31 >> 3))];

    private static async Task Until(Func<bool> true_)
    {
        var from = TimeProvider.System.GetTimestamp();
        while (!true_())
        {
            Assert.True(TimeProvider.System.GetElapsedTime(from) < s_patience, "it did not come true");
            await Task.Delay(50, TestContext.Current.CancellationToken);
        }
    }
}
