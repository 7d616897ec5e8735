using Microsoft.Playwright;
using StageView.Live.Terms;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>What a programmer asks of a fixture: who drives it, what is fought over, which universe is at fault.</summary>
public sealed partial class PageTests
{
    private static readonly DriveLine Fought = new(true, false,
    [
        new DriverLine("main desk", "10.0.0.1", "sACN", 100, false, false, true, "loses: lower level, in a fight"),
        new DriverLine("spare desk", "10.0.0.2", "sACN", 100, true, true, true, "wins, in a fight"),
        new DriverLine("old node", "10.0.0.9", "Art-Net", 90, false, false, false, "loses: lower priority"),
    ]);

    [Fact]
    public async Task Each_level_says_who_drives_it_and_a_fight_stands_on_its_row()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await Pick(page, "Spot 7");
        var dimmer = page.Locator("#levels tr[data-channel=Dimmer]");
        await Expect(dimmer.Locator(".from")).ToHaveTextAsync("▸ desk of the synthetic rig");
        await Expect(page.Locator("#levels .drive")).ToHaveCountAsync(0);

        served.Show.Fight = ([SyntheticShow.OneDesk, Fought], [12, 240, null]);
        await Expect(dimmer).ToHaveClassAsync("fought");
        await Expect(dimmer.Locator(".from")).ToHaveTextAsync("▸ spare desk");
        await Expect(page.Locator("#levels .drive")).ToHaveCountAsync(1);
        await Expect(page.Locator("#levels .drive div")).ToHaveTextAsync(["✕ fought over",
            "▸ spare desk (per address) 10.0.0.2 sACN, priority 100: 240, wins, in a fight", "· main desk 10.0.0.1 sACN, priority 100: 12, loses: lower level, in a fight",
            "· old node 10.0.0.9 Art-Net, priority 90: nothing, loses: lower priority"]);
        Assert.True(await page.EvaluateAsync<bool>(
            "document.querySelector('#levels .drive').previousElementSibling.dataset.channel === 'Dimmer'"));
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-fight") });
        served.Show.Fight = null;
        await Expect(page.Locator("#levels .drive")).ToHaveCountAsync(0);
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData(1440, 900)]
    [InlineData(390, 844)]
    public async Task The_network_has_a_line_for_each_source_faults_first_and_a_press_tells_the_rest(int width, int height)
    {
        await using var served = await ServedShow.Start();
        (served.Show.Second, served.Show.More) = ("heard",
        [
            new UniverseLine(3, "heard", 80, 4,
            [
                new SourceLine("spare desk with a very long name that nobody reads to its end", "10.0.0.2:5568", "sACN", 120, 40, "sending", true, 500, 512, "wins 500"),
                new SourceLine("main desk", "10.0.0.1:5568", "sACN", 100, 40, "ignored", false, 0, 512, "others have a higher priority"),
            ]) { Wrong = true, Fought = 12 },
        ]);
        var page = await browser.Open(served.Server.Address, width, height, touch: width < 500);
        await page.Locator("#tab-network").ClickAsync();
        var rows = page.Locator("#universes tr");
        await Expect(rows).ToHaveCountAsync(4);
        await Expect(rows.Nth(2).Locator("th")).ToHaveTextAsync("✕ 3");
        await Expect(rows.Nth(2).Locator("td")).ToHaveTextAsync([new System.Text.RegularExpressions.Regex("^spare desk"), new("40"), new("120"), new("▸ 500 of 512")]);
        await Expect(rows.Nth(3).Locator("td").Last).ToHaveTextAsync("loses");

        // One line each, whatever the name: none is higher than a press needs.
        Assert.True(await page.EvaluateAsync<bool>(
            "[...document.querySelectorAll('#universes tr')].every(r => r.getBoundingClientRect().height < 1.9 * parseFloat(getComputedStyle(document.documentElement).fontSize) + 12)"));
        await rows.Nth(2).Locator("button").ClickAsync();
        await Expect(page.Locator("#universes .rest")).ToContainTextAsync("10.0.0.2, sACN, priority 120, 40 packets/s, sending: wins 500");
        await Expect(page.Locator("#universes .rest")).ToContainTextAsync("12 addresses are fought over in universe 3");
        await Expect(rows.Nth(2).Locator("button")).ToBeFocusedAsync();
        Assert.Equal(width, await page.EvaluateAsync<int>("document.documentElement.scrollWidth"));
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot($"synthetic-{width}-universes"), FullPage = width < 500 });
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("#universes .rest")).ToHaveCountAsync(0);
        await page.Context.CloseAsync();
    }
}
