using System.Net.Sockets;
using System.Net.WebSockets;
using StageView.Live.Server;

namespace StageView.Live.Tests.Server;

/// <summary>What guests cost who take without reading. The memory is that of the whole process, so no other test runs beside these.</summary>
[Collection(LiveMachine.Name)]
public sealed class MemoryTests
{
    [Fact]
    public async Task Slow_readers_are_let_go_and_cost_no_memory()
    {
        await using var served = await ServedShow.Start(new LiveServerOptions { SendPatience = TimeSpan.FromSeconds(1), MostViewers = 8 });
        var before = GC.GetTotalMemory(forceFullCollection: true);
        var sockets = new List<ClientWebSocket>();
        for (var i = 0; i < 6; i++)
        {
            var socket = await served.Connect();
            sockets.Add(socket);
            await PageSocket.Say(socket, PageSocket.View(1280, 720));
        }

        // They never read, and claim to have got and shown everything, so that pictures keep coming.
        var n = 0u;
        var from = TimeProvider.System.GetTimestamp();
        while (served.Server.Viewers > 0 && TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromMinutes(2))
        {
            served.Show.Level = (served.Show.Level + 1) % 200;
            n++;
            foreach (var socket in sockets.Where(s => s.State == WebSocketState.Open))
            {
                try
                {
                    await PageSocket.Say(socket, new { @do = "got", bytes = long.MaxValue });
                    await PageSocket.Say(socket, new { @do = "shown", n = n * 10 });
                }
                catch (Exception e) when (e is WebSocketException or IOException or OperationCanceledException)
                {
                    // Let go, as wanted.
                }
            }

            await Task.Delay(10, TestContext.Current.CancellationToken);
        }

        Assert.Equal(0, served.Server.Viewers);
        Assert.Contains(served.Journal.Newest(100), e => e.Text.Contains("took nothing", StringComparison.Ordinal));
        sockets.ForEach(s => s.Dispose());
        Assert.InRange(GC.GetTotalMemory(forceFullCollection: true) - before, long.MinValue, 40L << 20);
    }

    [Fact]
    public async Task Hundreds_of_connections_that_say_nothing_are_bounded_and_the_page_answers_when_they_go()
    {
        await using var served = await ServedShow.Start();
        var before = GC.GetTotalMemory(forceFullCollection: true);
        var idle = new List<TcpClient>();
        for (var i = 0; i < 300; i++)
        {
            var client = new TcpClient();
            idle.Add(client);
            await client.ConnectAsync(served.Server.Address.Host, served.Server.Address.Port, TestContext.Current.CancellationToken);
        }

        Assert.InRange(GC.GetTotalMemory(forceFullCollection: true) - before, long.MinValue, 30L << 20);
        idle.ForEach(c => c.Dispose());
        var answer = "";
        var from = TimeProvider.System.GetTimestamp();
        while (answer.Length == 0 && TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromMinutes(1))
        {
            await Task.Delay(20, TestContext.Current.CancellationToken);
            answer = await DoorTests.Raw(served, $"GET / HTTP/1.1\r\nHost: {served.Server.Address.Authority}\r\nConnection: close\r\n\r\n");
        }

        Assert.StartsWith("HTTP/1.1 200", answer, StringComparison.Ordinal);
        using var socket = await served.Connect();
        await PageSocket.HearUntil(socket, (t, _) => t == WebSocketMessageType.Binary);
    }
}
