using StageView.Live.Terms;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>Which content lies over the pixels, in words.</summary>
public sealed partial class PageTests
{
    [Theory]
    [InlineData("desktop", 1440, 900)]
    [InlineData("phone", 390, 844)]
    public async Task Content_is_told_a_line_each_and_followed(string device, int width, int height)
    {
        await using var served = await ServedShow.Start();
        ContentLine clip = new("wall", "by map wall", "runs", 64, null);
        ContentLine camera = new("camera", "thrown onto balls", "closed", null, "live inputs are opened by live --inputs");
        served.Show.Contents = [clip, camera];
        await using var page = new Closing(await browser.Open(served.Server.Address, width, height, touch: device == "phone"));
        var (p, lines) = (page.Page, page.Page.Locator("#contents li"));
        await p.Locator("#tab-rigfile").FocusAsync();
        await p.Keyboard.PressAsync("Enter");
        await Expect(lines).ToHaveTextAsync(
            ["● wall runs at 1:04by map wall", "◇ camera not opened: live inputs are opened by live --inputsthrown onto balls"]);
        await Expect(p.Locator("#rigfile-count")).ToHaveTextAsync("");
        served.Show.Contents = [clip with { State = "lost", Seconds = null, Why = "clips/wall.mp4 does not exist" }, camera];
        await Expect(lines.First).ToHaveTextAsync("✕ wall lost: clips/wall.mp4 does not existby map wall");
        await Expect(p.Locator("#rigfile-count")).ToHaveTextAsync("1");
        await lines.First.ScrollIntoViewIfNeededAsync();
        await p.ScreenshotAsync(new() { Path = Browser.Shot($"synthetic-{device}-content") });
        Assert.True(await p.EvaluateAsync<bool>("document.documentElement.scrollWidth <= innerWidth"));
        served.Show.Contents = null;
        await Expect(p.Locator("#content-box")).ToBeHiddenAsync();
    }
}
