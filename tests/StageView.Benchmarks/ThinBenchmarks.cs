using System.Net.WebSockets;
using StageView.Live.Pictures;
using StageView.Live.Server;
using StageView.Live.Terms;
using StageView.Live.Tests.Server;

namespace StageView.Benchmarks;

/// <summary>
/// How long a search takes over a link of 64 kbit/s while the moving demo's pictures flow over it: each is asked at another time of a picture's way. Slices end
/// where an answer waits, so that at most what the link holds comes before it.
/// </summary>
public static class ThinBenchmarks
{
    private const int Searches = 20;
    private static readonly TimeSpan Allowed = TimeSpan.FromSeconds(2);

    public static IEnumerable<Figure> Run()
    {
        var (took, pictures) = Measure().GetAwaiter().GetResult();
        var (middle, worst) = (took.Order().ElementAt(took.Count / 2), took.Max());
        yield return new Figure("thin.search", middle, "s", "2 s", middle / Allowed.TotalSeconds);
        yield return new Figure("thin.search.worst", worst, "s", "2 s", worst / Allowed.TotalSeconds);
        yield return new Figure("thin.pictures", pictures, "1");
    }

    private static async Task<(List<double> Took, int Pictures)> Measure()
    {
        using var demo = new LiveDemo(mirrorMoment: false);
        var (show, journal) = (demo.Show, demo.Journal);
        using var pump = new FramePump(() => PicturesProcess.Start(show, window: false, journal.Say, drawing: LiveBenchmarks.Drawing()), journal,
            TimeProvider.System, new LiveServerOptions().MostFramesPerSecond);
        show.Changed += pump.Wake;
        await using var server = new LiveServer(new LiveServerOptions { Port = 0 }, show, pump, journal, TimeProvider.System);
        await server.Start();
        pump.Start();
        await using var link = new ThinLink(server.Address, 64_000);
        using var socket = new ClientWebSocket();
        LiveBenchmarks.NewPage();
        await socket.ConnectAsync(new UriBuilder(new Uri(link.Address, "/live")) { Scheme = "ws" }.Uri, CancellationToken.None);
        var view = Viewpoint.Start;
        await LiveBenchmarks.Say(socket, new
        {
            @do = "view", from = new[] { view.Position.X, view.Position.Y, view.Position.Z },
            to = new[] { view.Target.X, view.Target.Y, view.Target.Z }, fov = 50, ev = view.Ev100, size = new[] { 960, 540 }
        });
        var buffer = new byte[8 << 20];
        while (!await LiveBenchmarks.Next(socket, buffer))
        {
        }

        var (took, pictures, fixture) = (new List<double>(), 0, show.Rig.Fixtures[0].Name);
        for (var id = 1; id <= Searches; id++)
        {
            var (asked, answered) = (TimeProvider.System.GetTimestamp(), false);
            await LiveBenchmarks.Say(socket, new { @do = "find", id, text = fixture });
            while (!answered)
            {
                pictures += await LiveBenchmarks.Next(socket, buffer, text => answered |= text.StartsWith($"{{\"t\":\"answer\",\"id\":{id},")) ? 1 : 0;
            }

            took.Add(TimeProvider.System.GetElapsedTime(asked).TotalSeconds);
            for (var rest = TimeProvider.System.GetTimestamp(); TimeProvider.System.GetElapsedTime(rest).TotalMilliseconds < 700 + (id * 37);)
            {
                pictures += await LiveBenchmarks.Next(socket, buffer) ? 1 : 0;
            }
        }

        return (took, pictures);
    }
}
