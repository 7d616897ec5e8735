using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>Captures on the page: their cues, their time line, and the way back to the network.</summary>
public sealed partial class PageTests
{
    [Fact]
    public async Task The_last_minutes_are_frozen_shown_and_saved()
    {
        await using var served = await ServedShow.Start();
        served.Show.KeepsLast = true;
        var page = await browser.Open(served.Server.Address);
        await page.Locator("#captures").FocusAsync();
        await Expect(page.Locator("#captures option").Nth(1)).ToHaveTextAsync("the last minutes, frozen now");
        await page.Locator("#captures").SelectOptionAsync(new SelectOptionValue { Index = 1 });
        await Expect(page.Locator("#source")).ToHaveTextAsync("❚❚ capture: last minutes 20.15.00");
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-last") });
        await page.Locator("#save-last").ClickAsync();
        await Expect(page.Locator("#said")).ToContainTextAsync("saved as last minutes 20.15.00.pcapng");
        Assert.Contains("save last minutes 20.15.00", served.Show.Asked);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_cue_of_a_capture_is_gone_to_by_its_name()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await Expect(page.Locator("#cues")).ToBeHiddenAsync();
        await page.Locator("#captures").SelectOptionAsync("take 1");
        await Expect(page.Locator("#play")).ToBeEnabledAsync();
        await Expect(page.Locator("#cues")).ToBeHiddenAsync();
        served.Show.Cues = [new("doors", 12.5), new("finale", 48)];
        await page.Locator("#cues").SelectOptionAsync("cue:finale");
        await Expect(page.Locator("#scrub-at")).ToHaveTextAsync("0:48.0");
        await Expect(page.Locator("#cues")).ToHaveValueAsync("");
        Assert.Equal(48, served.Show.Position);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_capture_is_scrubbed_and_the_network_comes_back()
    {
        await using var served = await ServedShow.Start();
        served.Show.Length = 0;
        var page = await browser.Open(served.Server.Address);
        await page.Locator("#captures").SelectOptionAsync("take 1");
        await Expect(page.Locator("#source")).ToHaveTextAsync("❚❚ capture: take 1");
        await Expect(page.Locator("#time-word")).ToHaveTextAsync("show time");

        // Nothing of it was read yet.
        await Expect(page.Locator("#play")).ToBeEnabledAsync();
        await Expect(page.Locator("#scrub")).ToBeDisabledAsync();
        served.Show.Length = 60;
        await page.Locator("#scrub").FillAsync("50");
        await BrightnessBecomes(page, b => b > 180);
        Assert.Equal(50, served.Show.Position);
        await page.Locator("#listen").ClickAsync();
        await Expect(page.Locator("#source")).ToContainTextAsync("network");
        await Expect(page.Locator("#time-word")).ToHaveTextAsync("running for");
        await Expect(page.Locator("#scrub")).ToHaveValueAsync("0");
        await page.Locator("#captures").SelectOptionAsync("take 1");
        await Expect(page.Locator("#source")).ToContainTextAsync("take 1");
        await page.Locator("#captures").SelectOptionAsync("");
        await Expect(page.Locator("#source")).ToContainTextAsync("network");
        await page.Context.CloseAsync();
    }
}
