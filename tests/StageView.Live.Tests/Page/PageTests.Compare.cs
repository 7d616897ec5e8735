using System.Text;
using System.Text.Json;
using Microsoft.Playwright;
using StageView.Ground.Png;
using StageView.Live.Server;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>Two views side by side, before and after, and a still with its data.</summary>
public sealed partial class PageTests
{
    [Theory]
    [InlineData("desktop", 1440, 900)]
    [InlineData("tablet", 820, 1180)]
    [InlineData("phone", 390, 844)]
    public async Task A_second_view_shows_the_same_moment_from_above(string device, int width, int height)
    {
        await using var served = await ServedShow.Start();
        served.Show.OfItsOwn = () => served.Show;
        served.Show.Level = 90;
        await using var closing = new Closing(await browser.Open(served.Server.Address, width, height, touch: device != "desktop"));
        var page = closing.Page;
        await BrightnessBecomes(page, b => b > 60);
        await Tool(page, "#two-views");
        await Expect(page.Locator("#beside")).ToBeVisibleAsync();
        await page.WaitForFunctionAsync("""
            () => { const c = document.getElementById("beside-picture"), k = document.createElement("canvas"); k.width = k.height = 1;
              const p = k.getContext("2d"); p.drawImage(c, 0, 0, 1, 1); return p.getImageData(0, 0, 1, 1).data[1] > 60; }
            """);

        // Both are whole, as large as each other, and neither lies over the other.
        var (one, two) = ((await page.Locator("#picture").BoundingBoxAsync())!, (await page.Locator("#beside-picture").BoundingBoxAsync())!);
        Assert.Equal(one.Width, two.Width, 2.0);
        Assert.Equal(one.Height, two.Height, 2.0);
        Assert.True(two.X >= one.X + one.Width || two.Y >= one.Y + one.Height);
        Assert.True(two.X + two.Width <= width + .5 && two.Y + two.Height <= height);

        // From straight above all twelve: they hang at 4 m along y, 6 m high, from x = -6 to 5.
        Assert.Equal("-0.500 4.000 6.500", await page.Locator("#beside-picture").GetAttributeAsync("data-eye"));
        await page.Locator("#beside-picture").ClickAsync();
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 1");
        await Expect(page.Locator("#beside-marks text").Last).ToHaveTextAsync("812 lx");
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot($"synthetic-{device}-two") });
        var eye = await Eye(page);
        await page.Locator("#beside-cameras").SelectOptionAsync("rig:from the left");
        Assert.Equal("-10.000 -4.000 4.000", await page.Locator("#beside-picture").GetAttributeAsync("data-eye"));
        Assert.Equal(eye, await Eye(page));
        await page.EvaluateAsync(await File.ReadAllTextAsync(NodeTools.Module("axe-core", "axe.min.js"), TestContext.Current.CancellationToken));
        await FindsNothing(page, "two views");
        await page.Locator("#beside-close").ClickAsync();
        await Expect(page.Locator("#beside")).ToBeHiddenAsync();
        await Until(() => served.Server.Viewers == 1);
    }

    [Fact]
    public async Task The_second_view_follows_what_the_page_opens_for_itself()
    {
        await using var served = await ServedShow.Start();
        var own = new SyntheticShow();
        served.Show.OfItsOwn = () => own;
        await using var closing = new Closing(await browser.Open(served.Server.Address));
        var page = closing.Page;
        await Tool(page, "#two-views");
        await page.Locator("#captures").SelectOptionAsync("take 1");
        await Expect(page.Locator("#source")).ToHaveTextAsync("❚❚ capture: take 1");

        // What is under its pointer is asked of the page's own source.
        own.Under = 4;
        await page.Locator("#beside-picture").ClickAsync();
        await Expect(page.Locator("#marks text").First).ToHaveTextAsync("Spot 5");
    }

    [Theory]
    [InlineData(1440, 900)]
    [InlineData(820, 1180)]
    [InlineData(390, 844)]
    public async Task Before_and_after_part_at_a_line_that_is_moved(int width, int height)
    {
        await using var served = await ServedShow.Start();
        served.Show.Level = 200;
        await using var closing = new Closing(await browser.Open(served.Server.Address, width, height));
        var page = closing.Page;
        await BrightnessBecomes(page, b => b > 180);
        await Tool(page, "#wipe-open");
        await Expect(page.Locator("#said")).ToContainTextAsync("Keep a picture first");
        await Tool(page, "#wipe-keep");
        await Expect(page.Locator("#said")).ToContainTextAsync("Kept on this device");
        var eye = await Eye(page);
        await page.Locator("#picture").FocusAsync();
        await page.Keyboard.PressAsync("ArrowRight");
        served.Show.Level = 40;
        await BrightnessBecomes(page, b => b is > 30 and < 70);
        await Tool(page, "#wipe-open");

        // What is shown now is seen from where the picture was kept.
        Assert.Equal(eye, await Eye(page));
        const string Sides = """
            () => { const c = document.getElementById("wipe"), p = c.getContext("2d");
              const at = x => p.getImageData(Math.round(c.width * x), Math.round(c.height / 2), 1, 1).data;
              return [.1, .4, .6, .9].map(x => { const d = at(x); return d[3] === 0 ? "now" : d[1] > 180 ? "bright" : "dark"; }).join(" "); }
            """;
        Assert.Equal("bright bright now now", await page.EvaluateAsync<string>(Sides));
        await page.Locator("#wipe-at").FillAsync("20");
        Assert.Equal("bright now now now", await page.EvaluateAsync<string>(Sides));
        await page.Locator("#wipe-close").ClickAsync();
        await Tool(page, "#wipe-keep");
        await Tool(page, "#wipe-open");
        await page.Locator("#wipe-at").FillAsync("50");
        await page.Locator("#wipe-right").SelectOptionAsync("1");
        Assert.Equal("dark dark bright bright", await page.EvaluateAsync<string>(Sides));
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot($"synthetic-{width}-wipe") });
        await page.EvaluateAsync(await File.ReadAllTextAsync(NodeTools.Module("axe-core", "axe.min.js"), TestContext.Current.CancellationToken));
        await FindsNothing(page, "before and after");
        await page.Keyboard.PressAsync("Escape");
        await Expect(page.Locator("#wipe")).ToBeHiddenAsync();
    }

    [Fact]
    public async Task A_still_holds_its_picture_and_its_moment()
    {
        await using var served = await ServedShow.Start();
        served.Show.Level = 90;
        using var folder = new TempFolder();
        await using var closing = new Closing(await browser.Open(served.Server.Address));
        var page = closing.Page;
        await BrightnessBecomes(page, b => b > 60);
        if (!await page.Locator("#still").IsVisibleAsync())
        {
            await page.Locator("#more").ClickAsync();
        }

        var saved = await page.RunAndWaitForDownloadAsync(() => page.Locator("#still").ClickAsync());
        Assert.Equal("synthetic rig 01.02.03.04.png", saved.SuggestedFilename);
        await saved.SaveAsAsync(folder["still.png"]);
        var bytes = await File.ReadAllBytesAsync(folder["still.png"], TestContext.Current.CancellationToken);
        var texts = Texts(bytes);
        Assert.Equal("synthetic rig, 01:02:03:04, what the network sends, house: from 0, -14, 3 to 0, 3, 2.5, 50°, EV 7", texts["Description"]);
        var data = JsonDocument.Parse(texts[StillPicture.Keyword]).RootElement;
        Assert.Equal("network", data.GetProperty("source").GetString());
        Assert.Equal("01:02:03:04", data.GetProperty("timecode").GetString());
        Assert.Equal(string.Concat(Enumerable.Repeat("5a", 512)), data.GetProperty("levels").GetProperty("1").GetString());
        Assert.Equal([0, -14, 3], data.GetProperty("camera").GetProperty("position").EnumerateArray().Select(v => v.GetSingle()));

        // A browser reads it as a picture of that brightness.
        Assert.InRange(await page.EvaluateAsync<int>("""
            async bytes => { const b = await createImageBitmap(new Blob([new Uint8Array(bytes)], { type: "image/png" })), c = document.createElement("canvas");
              c.width = c.height = 1; const p = c.getContext("2d"); p.drawImage(b, 0, 0, 1, 1); return b.width > 500 ? p.getImageData(0, 0, 1, 1).data[1] : 0; }
            """, bytes.Select(b => (int)b).ToArray()), 85, 110);
    }

    /// <summary>Texts by keyword, as PNG, third edition, clause 11.3.3.4 lays them out.</summary>
    private static Dictionary<string, string> Texts(ReadOnlySpan<byte> png)
    {
        var texts = new Dictionary<string, string>();
        var rest = png[PngChunks.Signature.Length..];
        while (PngChunks.TryNext(ref rest, out var type, out var body))
        {
            if (type == 0x69545874)
            {
                var key = body.IndexOf((byte)0);
                Assert.True(body[(key + 1)..(key + 5)].SequenceEqual(new byte[4]));
                texts[Encoding.Latin1.GetString(body[..key])] = Encoding.UTF8.GetString(body[(key + 5)..]);
            }
        }

        return texts;
    }

    private static async Task Until(Func<bool> holds)
    {
        var from = TimeProvider.System.GetTimestamp();
        while (!holds())
        {
            Assert.True(TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromMinutes(1), "it never came to be so");
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }
    }
}
