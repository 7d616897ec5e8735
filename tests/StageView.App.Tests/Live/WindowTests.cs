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
        await Becomes(live, display, file, shot => Mean(shot, 640, 360) > 25);

        using var before = SKBitmap.Decode(file);

        // Resized, the whole picture stands in the smaller window and nothing outside it.
        XWindows.Resize(display.Name, 800, 450);
        await Becomes(live, display, Browser.Shot("window-small"),
            shot => Mean(shot, 1100, 650) < 1 && shot.GetPixel(400, 240).Red > 200 && before.GetPixel(400, 240).Red < 180);
        display.Close();
        await live.SaysWithin("the window's display is gone; the page goes on without a window");
        await live.SaysWithin("drawing again");
        using var http = new HttpClient();
        Assert.Contains("<html", await http.GetStringAsync(live.Address, TestContext.Current.CancellationToken), StringComparison.Ordinal);
        Assert.False(live.HasExited);
    }

    [Fact]
    public async Task The_window_fills_a_screen_and_the_next_one_and_comes_back_and_a_drag_turns_the_view()
    {
        using var display = VirtualDisplay.StartTwo();
        using var copy = new RigCopy("one-mirror");
        await using var live = await OpenWindow(display, copy);
        await Becomes(live, display, Browser.Shot("window-two-screens"),
            shot => XWindows.Largest(display.Name) is { Width: 1280, Height: 720 } w && Mean(shot, w.X + 640, w.Y + 500) > 10);
        var before = XWindows.Largest(display.Name);
        await Press(display, "F11", before.X + 300, before.Y + 300);
        await Becomes(live, display, Browser.Shot("window-full"),
            shot => XWindows.Largest(display.Name) == (0, 0, 1280, 800) && Mean(shot, 640, 600) > 10 && Mean(shot, 1800, 400) < 1

                // Where there is no title bar its words lie over the picture's bottom.
                && shot.GetPixel(1276, 797) == new SKColor(0x16, 0x1a, 0x1d) && Enumerable.Range(0, 400).Any(x => shot.GetPixel(x, 788).Red > 180));
        await Press(display, "F12", 300, 300);
        await Becomes(live, display, Browser.Shot("window-next-screen"),
            shot => XWindows.Largest(display.Name) == (1280, 0, 1024, 768) && Mean(shot, 1280 + 512, 600) > 10 && Mean(shot, 640, 400) < 1);
        await Press(display, "Escape", 1500, 300);
        await Becomes(live, display, Browser.Shot("window-back"),
            shot => XWindows.Largest(display.Name) is var w && w == before && Mean(shot, w.X + 640, w.Y + 500) > 10);

        using var still = SKBitmap.Decode(Browser.Shot("window-back"));
        XWindows.Drag(display.Name, before.X + 400, before.Y + 300, 160, -60);
        await Becomes(live, display, Browser.Shot("window-turned"), shot => Differs(shot, still) > .04);
        Assert.False(live.HasExited);
    }

    [Fact]
    public async Task A_window_whose_process_ends_comes_back_where_it_stood_and_looks_where_it_looked()
    {
        using var display = VirtualDisplay.StartTwo();
        using var copy = new RigCopy("one-mirror");
        await using var live = await OpenWindow(display, copy);
        await Becomes(live, display, Browser.Shot("window-first"),
            shot => XWindows.Largest(display.Name) is { Width: 1280, Height: 720 } w && Mean(shot, w.X + 640, w.Y + 500) > 10);
        var before = XWindows.Largest(display.Name);
        using var first = SKBitmap.Decode(Browser.Shot("window-first"));
        XWindows.Drag(display.Name, before.X + 400, before.Y + 300, 120, 30);
        await Becomes(live, display, Browser.Shot("window-elsewhere"), shot => Differs(shot, first) > .04);
        await Press(display, "F12", before.X + 300, before.Y + 300);
        await Becomes(live, display, Browser.Shot("window-elsewhere"),
            shot => XWindows.Largest(display.Name) == (1280, 0, 1024, 768) && Differs(shot, first, 1280, 2304) > .04);

        using var stood = await AtRest(display, Browser.Shot("window-elsewhere"));
        using (var drawing = System.Diagnostics.Process.GetProcessById(live.DrawingProcess()))
        {
            drawing.Kill();
        }

        await live.SaysWithin("drawing again");
        await Becomes(live, display, Browser.Shot("window-stands-again"),
            shot => XWindows.Largest(display.Name) == (1280, 0, 1024, 768) && Differs(shot, stood, 1280, 2304) < .01);
        await Press(display, "Escape", 1500, 300);
        await Becomes(live, display, Browser.Shot("window-stood-there"), _ => XWindows.Largest(display.Name) == before);
    }

    [Fact]
    public async Task A_window_that_filled_a_screen_which_is_gone_comes_back_on_one_that_is_there()
    {
        using var display = VirtualDisplay.StartTwo();
        using var copy = new RigCopy("one-mirror");
        await using var live = await OpenWindow(display, copy);
        await Becomes(live, display, Browser.Shot("window-first"),
            shot => XWindows.Largest(display.Name) is { Width: 1280, Height: 720 } w && Mean(shot, w.X + 640, w.Y + 500) > 10);
        XWindows.Resize(display.Name, 900, 600);
        await Becomes(live, display, Browser.Shot("window-first"), _ => XWindows.Largest(display.Name) is { Width: 900, Height: 600 });
        var before = XWindows.Largest(display.Name);
        await Press(display, "F12", before.X + 300, before.Y + 300);
        await Becomes(live, display, Browser.Shot("window-elsewhere"), _ => XWindows.Largest(display.Name) == (1280, 0, 1024, 768));

        // Its place was told; then the process hangs, the cable is pulled, and the process ends without having heard of it.
        using var stood = await AtRest(display, Browser.Shot("window-elsewhere"));
        var drawing = live.DrawingProcess();
        await Signal(drawing, "STOP");
        display.PullSecond();
        await Signal(drawing, "KILL");
        await live.SaysWithin("drawing again");
        await Becomes(live, display, Browser.Shot("window-on-the-screen-left"),
            shot => XWindows.Largest(display.Name) == before && Mean(shot, before.X + 450, before.Y + 420) > 10);
    }

    private static async Task Signal(int process, string name)
    {
        using var kill = System.Diagnostics.Process.Start("kill", [$"-{name}", $"{process}"]);
        await kill.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.Equal(0, kill.ExitCode);
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

    /// <summary>The command with its window on a display.</summary>
    internal static Task<LiveProcess> OpenWindow(VirtualDisplay display, RigCopy copy, IReadOnlyDictionary<string, string>? more = null) =>
        LiveProcess.Start(copy.File, new Dictionary<string, string>(more ?? new Dictionary<string, string>()) { ["DISPLAY"] = display.Name },
            "--window", "--sacn-port", $"{FreePort.Udp()}", "--artnet-port", $"{FreePort.Udp()}");

    internal static async Task Becomes(LiveProcess live, VirtualDisplay display, string file, Func<SKBitmap, bool> fits)
    {
        var from = TimeProvider.System.GetTimestamp();
        while (TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromMinutes(3))
        {
            using var shot = Look(display, file);
            if (shot is not null && fits(shot))
            {
                return;
            }

            await Task.Delay(300, TestContext.Current.CancellationToken);
        }

        Assert.Fail($"the display never showed it; see {file}. Its largest window is {XWindows.Largest(display.Name)}. The command said:\n{live.Said}");
    }

    /// <summary>
    /// What is on the display once it no longer changes: a window that moved or was turned is drawn coarsely first, in full after a
    /// while, and tells where it stands between two pictures. On a busy machine all that takes long, and so does each look.
    /// </summary>
    internal static async Task<SKBitmap> AtRest(VirtualDisplay display, string file)
    {
        var last = Look(display, file);
        for (var (looks, same) = (0, 0); same < 5; looks++)
        {
            Assert.True(looks < 120 && last is not null, $"the display came to no rest; see {file}");
            await Task.Delay(500, TestContext.Current.CancellationToken);
            var now = Look(display, file);
            same = now is not null && now.Bytes.AsSpan().SequenceEqual(last.Bytes) ? same + 1 : 0;
            last.Dispose();
            last = now;
        }

        return last!;
    }

    /// <summary>What is on the display now, or nothing where it could not be seen; never what an earlier look left in the file.</summary>
    private static SKBitmap? Look(VirtualDisplay display, string file)
    {
        File.Delete(file);
        display.Shot(file);
        return File.Exists(file) ? SKBitmap.Decode(file) : null;
    }

    /// <summary>Presses until the window has another place; a window that is just being placed may miss a key.</summary>
    private static async Task Press(VirtualDisplay display, string key, int x, int y)
    {
        var before = XWindows.Largest(display.Name);
        for (var tries = 0; tries < 10; tries++)
        {
            XWindows.Press(display.Name, key, x, y);

            // One that was only slow must not be followed by a second one, which would take it back.
            for (var i = 0; i < 100; i++)
            {
                await Task.Delay(200, TestContext.Current.CancellationToken);
                if (XWindows.Largest(display.Name) != before)
                {
                    return;
                }
            }
        }

        Assert.Fail($"{key} does nothing");
    }

    /// <summary>Share of pixels that are clearly another colour.</summary>
    private static double Differs(SKBitmap a, SKBitmap b, int from = 0, int to = 1280)
    {
        var (different, all) = (0, 0);
        for (var y = 0; y < Math.Min(a.Height, b.Height); y += 6)
        {
            for (var x = from; x < Math.Min(a.Width, to); x += 6)
            {
                var (p, q) = (a.GetPixel(x, y), b.GetPixel(x, y));
                different += Math.Abs(p.Red - q.Red) + Math.Abs(p.Green - q.Green) + Math.Abs(p.Blue - q.Blue) > 12 ? 1 : 0;
                all++;
            }
        }

        return (double)different / all;
    }

    /// <summary>Mean brightness of a patch of 100 pixels a side round a point, 0 to 255.</summary>
    internal static double Mean(SKBitmap shot, int x, int y)
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
