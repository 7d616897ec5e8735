using SkiaSharp;

namespace StageView.App.Tests.Live;

/// <summary>The native window on a virtual display.</summary>
[Collection(LiveMachine.Name)]
public sealed class WindowTests
{
    [Fact]
    public async Task The_window_shows_the_demo_and_its_display_going_away_ends_nothing()
    {
        using var display = VirtualDisplay.Start();
        using var copy = new RigCopy("foundry");
        var (sacn, artNet) = (FreePort.Udp(), FreePort.Udp());
        using var desk = new Desk(sacn);
        await using var live = await LiveProcess.Start(copy.File, new Dictionary<string, string> { ["DISPLAY"] = display.Name },
            "--window", "--sacn-port", $"{sacn}", "--artnet-port", $"{artNet}");
        desk.Set(10, [.. Enumerable.Range(1, 60).Select(i => (i, 255))]);
        var file = Browser.Shot("window");
        await Becomes(display, file, shot => Mean(shot, 640, 360) > 25);

        using var before = SKBitmap.Decode(file);

        // Resized, the whole picture stands in the smaller window and nothing outside it.
        XWindows.Resize(display.Name, 800, 450);
        await Becomes(display, Browser.Shot("window-small"), shot => Mean(shot, 1100, 650) < 1 && shot.GetPixel(400, 240).Red > 200 && before.GetPixel(400, 240).Red < 180);
        display.Close();
        await live.SaysWithin("the window's display is gone; the page goes on without a window");
        await live.SaysWithin("drawing again");
        using var http = new HttpClient();
        Assert.Contains("<html", await http.GetStringAsync(live.Address, TestContext.Current.CancellationToken), StringComparison.Ordinal);
        Assert.False(live.HasExited);
    }

    [Fact]
    public async Task Without_a_display_a_window_that_was_asked_for_is_refused_in_one_line()
    {
        using var copy = new RigCopy("one-mirror");
        await using var live = await LiveProcess.Start(copy.File, null, "--window", "--sacn-port", $"{FreePort.Udp()}", "--artnet-port", $"{FreePort.Udp()}");
        await live.SaysWithin("no window: ");
        Assert.DoesNotContain("   at ", live.Said, StringComparison.Ordinal);
        Assert.False(live.HasExited);
    }

    private static async Task Becomes(VirtualDisplay display, string file, Func<SKBitmap, bool> fits)
    {
        var from = TimeProvider.System.GetTimestamp();
        while (TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromMinutes(3))
        {
            display.Shot(file);
            using var shot = File.Exists(file) ? SKBitmap.Decode(file) : null;
            if (shot is not null && fits(shot))
            {
                return;
            }

            await Task.Delay(300, TestContext.Current.CancellationToken);
        }

        Assert.Fail($"the display never showed it; see {file}");
    }

    /// <summary>Mean brightness of a patch of 100 pixels a side round a point, 0 to 255.</summary>
    private static double Mean(SKBitmap shot, int x, int y)
    {
        var sum = 0.0;
        for (var i = 0; i < 100; i += 4)
        {
            for (var j = 0; j < 100; j += 4)
            {
                var p = shot.GetPixel(x - 50 + i, y - 50 + j);
                sum += (p.Red + p.Green + p.Blue) / 3.0;
            }
        }

        return sum / 625;
    }
}
