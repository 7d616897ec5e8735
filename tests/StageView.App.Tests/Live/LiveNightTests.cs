using Microsoft.Playwright;
using StageView.Rig.Scene;
using static Microsoft.Playwright.Assertions;

namespace StageView.App.Tests.Live;

/// <summary>The real command with the demo rig, an independent sender and a browser.</summary>
[Collection(LiveMachine.Name)]
public sealed class LiveNightTests(Browser browser)
{
    [Fact]
    public async Task A_night_beside_the_console()
    {
        using var copy = new RigCopy("foundry");
        var (sacn, artNet) = (FreePort.Udp(), FreePort.Udp());
        using var desk = new Desk(sacn);
        await using var live = await LiveProcess.Start(copy.File, null, "--sacn-port", $"{sacn}", "--artnet-port", $"{artNet}");
        var page = await browser.Open(live.Address, 1280, 800);
        await Expect(page.Locator("#rig-name")).ToHaveTextAsync("Foundry");
        // The stage in work light: the first picture is there.
        await Browser.BrightnessBecomes(page, b => b > 4);

        // Levels of another program change the picture.
        var dark = await Settled(page);
        RigLoader.TryLoad(copy.File, out var rig, out _);
        foreach (var front in rig!.Fixtures.Where(f => f.Groups.Contains("fronts")))
        {
            desk.Set(front.Patch[0].Start.Universe.Value, (front.Patch[0].Start.Address, 255), (front.Patch[0].Start.Address + 1, 255));
        }

        await Browser.BrightnessBecomes(page, b => b > dark + 8);
        await page.Locator("#tab-network").ClickAsync();
        await Expect(page.Locator("#panel-network")).ToContainTextAsync("independent desk");
        await Expect(page.Locator("#panel-network")).ToContainTextAsync("patched but silent");
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("night-network") });

        // A head is picked where it hangs in the picture.
        await page.Locator("#tab-fixture").ClickAsync();
        await page.Locator("#find").FillAsync("up head 3");
        await page.Locator("#found button").Filter(new() { HasText = "up head 3" }).First.ClickAsync();
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("up head 3");
        var ring = page.Locator("#marks .ring").First;
        var (x, y) = (float.Parse((await ring.GetAttributeAsync("cx"))!), float.Parse((await ring.GetAttributeAsync("cy"))!));
        await page.Locator("#find").FillAsync("front 1");
        await page.Locator("#found button").Filter(new() { HasText = "front 1 " }).First.ClickAsync();
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("front 1");
        await Expect(page.Locator("#landings")).ToContainTextAsync("lx");
        await page.Locator("#picture").ClickAsync(new LocatorClickOptions { Position = new Position { X = x, Y = y } });
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("up head 3");

        // An aim is asked by a click on the deck.
        await Tool(page, "#aim-mode");
        var floor = await page.EvaluateAsync<float[]>("""
            async () => { const { Camera } = await import("/camera.js"), c = document.getElementById("picture");
              const [x, y] = Camera.from([0, -14.5, 1.4], [0, 5, 3.6], 42, 5).project([-2.5, 3, 0], c.clientWidth / c.clientHeight);
                return [x * c.clientWidth, y * c.clientHeight]; }
            """);
        await page.Locator("#picture").ClickAsync(new LocatorClickOptions { Position = new Position { X = floor[0], Y = floor[1] } });
        await Expect(page.Locator("#aim h3").First).ToContainTextAsync("0.00 m");
        await Expect(page.Locator("#aim")).ToContainTextAsync("pan");
        await Expect(page.Locator("#aim .way").First).ToContainTextAsync("4.");
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("night-aim") });

        // A broken rig file is shown at its line; the picture stays; mended, the alert goes.
        var good = await File.ReadAllTextAsync(copy.File, TestContext.Current.CancellationToken);
        await File.WriteAllTextAsync(copy.File, good.Replace("\"lookAt\": [0, 5, 3.6]", "\"lookAt\": [0, 5]", StringComparison.Ordinal),
            TestContext.Current.CancellationToken);
        await Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("$.cameras[0].lookAt");
        await Expect(page.Locator("#fault pre").First).ToContainTextAsync("\"name\": \"house\"");
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("night-fault") });
        File.Delete(copy.File);
        await Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("no such file");
        await File.WriteAllTextAsync(copy.File, good, TestContext.Current.CancellationToken);
        await Expect(page.Locator("#fault")).ToBeHiddenAsync();

        // A typed position is written into the file, and taken back.
        await page.Locator("#tab-fixture").ClickAsync();
        await page.Locator("#hangs summary").ClickAsync();
        await page.Locator("#place-x").FillAsync("-1.5");
        await page.Locator("#place-form button").ClickAsync();
        await Expect(page.Locator("#said")).ToContainTextAsync("up head 3 moved to");
        Assert.Contains("\"member\": 3", await File.ReadAllTextAsync(copy.File, TestContext.Current.CancellationToken), StringComparison.Ordinal);
        await page.Locator("#tab-rigfile").ClickAsync();
        await page.Locator("#undo").ClickAsync();
        await Expect(page.Locator("#said")).ToContainTextAsync("moved back");
        Assert.Equal(good, await File.ReadAllTextAsync(copy.File, TestContext.Current.CancellationToken));

        // A head dragged by its ring is written into the file: every old line is still there, in order; undo gives the old bytes.
        await page.Locator("#tab-fixture").ClickAsync();
        await Tool(page, "#move-mode");
        var frame = (await page.Locator("#picture").BoundingBoxAsync())!;
        (x, y) = (frame.X + float.Parse((await ring.GetAttributeAsync("cx"))!), frame.Y + float.Parse((await ring.GetAttributeAsync("cy"))!));
        await page.Mouse.MoveAsync(x, y);
        await page.Mouse.DownAsync();
        await page.Mouse.MoveAsync(x + 30, y + 4, new MouseMoveOptions { Steps = 6 });
        await page.Mouse.UpAsync();
        await Expect(page.Locator("#said")).ToContainTextAsync("up head 3 moved to");
        var dragged = await File.ReadAllTextAsync(copy.File, TestContext.Current.CancellationToken);
        Assert.NotEqual(good, dragged);
        Assert.True(InOrder(good.Split('\n'), dragged.Split('\n')) >= good.Split('\n').Length - 1, "lines of the file were lost");
        await Expect(page.Locator("#place-x")).Not.ToHaveValueAsync("-1.20");
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("night-dragged") });
        await page.Locator("#tab-rigfile").ClickAsync();
        await page.Locator("#undo").ClickAsync();
        await Expect(page.Locator("#said")).ToContainTextAsync("moved back");
        Assert.Equal(good, await File.ReadAllTextAsync(copy.File, TestContext.Current.CancellationToken));
        await page.Locator("#redo").ClickAsync();
        await Expect(page.Locator("#said")).ToContainTextAsync("moved again");
        Assert.Equal(dragged, await File.ReadAllTextAsync(copy.File, TestContext.Current.CancellationToken));
        await page.Locator("#undo").ClickAsync();
        await Expect(page.Locator("#said")).ToContainTextAsync("moved back");

        // Timecode is shown while it runs, and when it stands. The packet is the table of Art-Net 4, ArtTimeCode.
        using (var timecode = new System.Net.Sockets.UdpClient())
        {
            for (var f = 0; f < 50; f++)
            {
                byte[] packet = [.. "Art-Net\0"u8, 0x00, 0x97, 0, 14, 0, 0, (byte)(f % 25), (byte)(3 + (f / 25)), 2, 1, 1];
                await timecode.SendAsync(packet, new System.Net.IPEndPoint(System.Net.IPAddress.Loopback, artNet), TestContext.Current.CancellationToken);
                await Task.Delay(40, TestContext.Current.CancellationToken);
            }
        }

        await Expect(page.Locator("#timecode")).ToHaveTextAsync("01:02:04:24");
        await Expect(page.Locator("#timecode-note")).ToHaveTextAsync("25 frames/s, stands");

        // What is heard is recorded, and a capture is scrubbed.
        await page.Locator("#record").ClickAsync();
        await Expect(page.Locator("#record-word")).ToContainTextAsync(new System.Text.RegularExpressions.Regex("Stop, (?!0:00)"));
        await page.Locator("#record").ClickAsync();
        await Expect(page.Locator("#said")).ToContainTextAsync("is finished");
        var recording = Assert.Single(Directory.GetFiles(Path.Combine(copy.Folder, "recordings")));
        Assert.InRange(Wire.Capture.CaptureReader.Read(recording).Count(), 30, 2000);
        await page.Locator("#captures").SelectOptionAsync("foundry.pcapng");
        await Expect(page.Locator("#source")).ToContainTextAsync("foundry.pcapng");
        await Expect(page.Locator("#scrub-is")).ToContainTextAsync(new System.Text.RegularExpressions.Regex(@"/ (0:[2-9]\d|[1-9]:)"));
        await page.Locator("#scrub").FillAsync("0");
        await Expect(page.Locator("#time")).ToContainTextAsync("0:00.0");
        await Browser.BrightnessBecomes(page, b => b < dark + 2);
        await page.Locator("#scrub").FillAsync("15");
        await Expect(page.Locator("#time")).ToContainTextAsync("0:15.0");
        await Browser.BrightnessBecomes(page, b => b > dark + 3);
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("night-capture") });

        // The drawing process dies as a driver would make it; all else goes on and the picture comes back.
        await page.Locator("#listen").ClickAsync();
        await page.Locator("#record").ClickAsync();
        using (var drawing = System.Diagnostics.Process.GetProcessById(live.DrawingProcess()))
        {
            drawing.Kill();
        }

        await live.SaysWithin("the renderer failed");
        await live.SaysWithin("drawing again");
        await Browser.BrightnessBecomes(page, b => b > dark + 8);
        await Expect(page.Locator("#record")).ToHaveAttributeAsync("aria-pressed", "true");
        Assert.False(live.HasExited);

        // The delay is measured through the wire, the renderer and the page's own pixels.
        await page.Locator("#tab-night").ClickAsync();
        await page.Locator("#measure").ClickAsync();
        await Expect(page.Locator("#delay-words")).ToContainTextAsync(new System.Text.RegularExpressions.Regex(@"packet to page \d+\.\d ms"));
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("night-journal") });

        // The journal is taken home, and says what happened when.
        var download = await page.RunAndWaitForDownloadAsync(() => page.GetByRole(AriaRole.Link, new() { Name = "Download as text" }).ClickAsync());
        Assert.Equal("journal.txt", download.SuggestedFilename);
        var journal = await File.ReadAllTextAsync(await download.PathAsync(), TestContext.Current.CancellationToken);
        foreach (var wanted in new[] { "'independent desk' at 127.0.0.1 sends", "foundry.rig.jsonc:25: ", "no such file", "read again in", "up head 3 moved to",
            "up head 3 moved back", "timecode starts at 01:02:03:00", "timecode stops after 01:02:04:24", "recording ", "is finished",
            "showing the capture foundry.pcapng", "the renderer failed", "drawing again" })
        {
            Assert.Contains(wanted, journal, StringComparison.Ordinal);
        }

        Assert.All(journal.Split('\n', StringSplitOptions.RemoveEmptyEntries),
            l => Assert.Matches(@"^\d{4}-\d\d-\d\d \d\d:\d\d:\d\d\.\d{3} [+-]\d\d:\d\d  (network|rig|picture|recorder|page|show) ", l));
        await page.Context.CloseAsync();
    }

    /// <summary>Presses a tool, in the menu where the row has no room for it.</summary>
    private static async Task Tool(IPage page, string tool)
    {
        if (!await page.Locator(tool).IsVisibleAsync())
        {
            await page.Locator("#more").ClickAsync();
        }

        await page.Locator(tool).ClickAsync();
    }

    /// <summary>How many lines of one text stand in another, in their order.</summary>
    private static int InOrder(string[] lines, string[] text)
    {
        var (at, found) = (0, 0);
        foreach (var line in lines)
        {
            var next = Array.IndexOf(text, line, at);
            (at, found) = next < 0 ? (at, found) : (next + 1, found + 1);
        }

        return found;
    }

    /// <summary>The picture's brightness once it no longer changes.</summary>
    private static async Task<double> Settled(IPage page)
    {
        var last = -1.0;
        for (var i = 0; i < 40; i++)
        {
            await Task.Delay(400, TestContext.Current.CancellationToken);
            var now = await Browser.Brightness(page);
            if (Math.Abs(now - last) < .5)
            {
                return now;
            }

            last = now;
        }

        return last;
    }
}
