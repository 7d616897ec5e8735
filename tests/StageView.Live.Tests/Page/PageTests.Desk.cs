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
            "▸ spare desk (per address) 10.0.0.2 sACN, priority 100: 240, wins, in a fight",
            "· main desk 10.0.0.1 sACN, priority 100: 12, loses: lower level, in a fight",
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
                new SourceLine("spare desk with a very long name that nobody reads to its end", "10.0.0.2:5568", "sACN", 120, 40, "sending", true, 500, 512,
                    "wins 500"),
                new SourceLine("main desk", "10.0.0.1:5568", "sACN", 100, 40, "ignored", false, 0, 512, "others have a higher priority"),
            ]) { Wrong = true, Fought = 12 },
        ]);
        var page = await browser.Open(served.Server.Address, width, height, touch: width < 500);
        await page.Locator("#tab-network").ClickAsync();
        var rows = page.Locator("#universes tr");
        await Expect(rows).ToHaveCountAsync(4);
        await Expect(rows.Nth(2).Locator("th")).ToHaveTextAsync("✕ 3");
        await Expect(rows.Nth(2).Locator("td")).ToHaveTextAsync([new System.Text.RegularExpressions.Regex("^spare desk"), new("40"), new("120"),
            new("▸ 500/512")]);
        await Expect(rows.Nth(3).Locator("td").Last).ToHaveTextAsync("loses");

        // One line each, whatever the name: none is higher than a press needs.
        Assert.True(await page.EvaluateAsync<bool>(
            "[...document.querySelectorAll('#universes tr')].every(r => r.getBoundingClientRect().height < 12 "
            + "+ 1.9 * parseFloat(getComputedStyle(document.documentElement).fontSize))"));
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

    [Fact]
    public async Task Ways_of_an_aim_are_grouped_one_is_drawn_and_each_can_be_copied_and_tried()
    {
        await using var served = await ServedShow.Start();
        AimWay Way(string via, string group, bool shortest, params float[][] path) => new(via, 12.3, -45.6, 30, .4, 1, 640, shortest, [],
            [$"Pan 1.2/1.3 = {path.Length}/0"])
        { Group = group, Path = path, Sets = [new AsIfLevel("Spot 7", "Pan", path.Length)] };
        served.Show.Ways =
        [
            Way("wall 2", "wall", true, [0, 4, 6], [0, 8, 4], [0, 2, 0]), Way("direct", "direct", false, [0, 4, 6], [0, 2, 0]),
            Way("wall 3", "wall", false, [0, 4, 6], [1, 8, 4], [0, 2, 0]),
        ];
        var page = await browser.Open(served.Server.Address);
        await page.Context.GrantPermissionsAsync(["clipboard-read", "clipboard-write"]);
        await Pick(page, "Spot 7");
        await page.Locator("#tab-aim").ClickAsync();
        await page.Locator("#aim-form button").ClickAsync();
        await Expect(page.Locator("#aim h4")).ToHaveTextAsync(["Direct", "By way of wall", "Not possible"]);
        var (draw, drawn) = (page.GetByRole(AriaRole.Button, new() { Name = "Draw it" }), page.Locator("#marks .way-drawn"));
        await Expect(draw).ToHaveCountAsync(3);

        // The shortest is drawn: over a mirror it has two legs. The straight one has one; pressed again, there is none.
        await Expect(draw.Nth(1)).ToHaveAttributeAsync("aria-pressed", "true");
        await Expect(drawn).ToHaveAttributeAsync("d", new System.Text.RegularExpressions.Regex("^M[^M]+M[^M]+$"));
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-ways") });
        await draw.First.ClickAsync();
        await Expect(drawn).ToHaveAttributeAsync("d", new System.Text.RegularExpressions.Regex("^M[^M]+$"));
        await Expect(draw.Nth(1)).ToHaveAttributeAsync("aria-pressed", "false");
        await draw.First.ClickAsync();
        await Expect(drawn).ToHaveCountAsync(0);

        await page.GetByRole(AriaRole.Button, new() { Name = "Copy DMX" }).Nth(2).ClickAsync();
        await Expect(page.Locator("#said")).ToHaveTextAsync("Copied.");
        Assert.Equal("Pan 1.2/1.3 = 3/0", await page.EvaluateAsync<string>("navigator.clipboard.readText()"));
        await page.GetByRole(AriaRole.Button, new() { Name = "Try it" }).First.ClickAsync();
        await Expect(page.Locator("#as-if-words")).ToHaveTextAsync("◇ as if: 1 level of 1 fixture, not sent");
        Assert.Contains("as if Spot 7/Pan=2", served.Show.Asked);

        // With another head the way goes.
        await draw.First.ClickAsync();
        await Expect(drawn).ToHaveCountAsync(1);
        await page.Locator("#picture").FocusAsync();
        await page.Keyboard.PressAsync("n");
        await Expect(drawn).ToHaveCountAsync(0);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_level_that_is_looked_at_is_marked_on_the_picture_and_released_by_one_press()
    {
        await using var served = await ServedShow.Start();
        served.Show.OfItsOwn = () => new SyntheticShow();
        var (tablet, desk) = (await browser.Open(served.Server.Address), await browser.Open(served.Server.Address));
        await Pick(tablet, "Spot 7");
        await Expect(tablet.Locator("#as-if-box")).ToBeHiddenAsync();
        await tablet.Locator("#as-if-on summary").ClickAsync();
        await tablet.Locator("#as-if-channel").SelectOptionAsync("Pan");
        await Expect(tablet.Locator("#as-if-level")).ToHaveAttributeAsync("max", "65535");
        await tablet.Locator("#as-if-level").FillAsync("40000");
        await tablet.Keyboard.PressAsync("Enter");
        await Expect(tablet.Locator("#as-if-words")).ToHaveTextAsync("◇ as if: 1 level of 1 fixture, not sent");
        await Expect(tablet.Locator("#source")).ToHaveTextAsync("● network · as if");
        await Expect(tablet.Locator("#levels tr[data-channel=Pan] .as-if-mark")).ToHaveTextAsync("◇ as if");
        await Expect(tablet.Locator("#lead-words")).ToHaveTextAsync("seen here only");
        await Expect(desk.Locator("#source")).ToHaveTextAsync("● network");
        await Expect(desk.Locator("#as-if-box")).ToBeHiddenAsync();
        await tablet.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-as-if") });
        await tablet.Locator("#as-if-end").ClickAsync();
        await Expect(tablet.Locator("#as-if-box")).ToBeHiddenAsync();
        await Expect(tablet.Locator("#source")).ToHaveTextAsync("● network");
        await Expect(tablet.Locator("#lead-box")).ToBeHiddenAsync();
        await Expect(tablet.Locator("#levels .as-if-mark")).ToHaveCountAsync(0);
        await desk.Context.CloseAsync();
        await tablet.Context.CloseAsync();
    }

    [Theory]
    [InlineData(1440, 900)]
    [InlineData(390, 844)]
    public async Task Several_fixtures_are_taken_by_group_by_search_and_by_clicks_and_told_together(int width, int height)
    {
        await using var served = await ServedShow.Start();
        served.Show.Level = 128;
        var page = await browser.Open(served.Server.Address, width, height, touch: width < 500);
        await page.Locator("#tab-several").ClickAsync();
        await page.Locator("#several-group").SelectOptionAsync("spots");
        await Expect(page.Locator("#several-words")).ToContainTextAsync("12 fixtures, 8 lit,");
        await Expect(page.Locator("#several-words")).ToContainTextAsync("11.0 m wide and 0.0 m deep, 6.0 m high");
        await Expect(page.Locator("#several-colours li")).ToHaveCountAsync(2);
        await Expect(page.Locator("#several-colours")).ToContainTextAsync("up to 0.218 apart in u′, v′");
        Assert.Equal("rgb(255, 0, 0)", await page.Locator(".swatch").First.EvaluateAsync<string>("s => getComputedStyle(s).backgroundColor"));
        await Expect(page.Locator("#several-ranges tbody tr").First).ToContainTextAsync("Dimmer0 %50 %12");
        await Expect(page.Locator("#marks .member.lit")).ToHaveCountAsync(8);
        Assert.Equal(width, await page.EvaluateAsync<int>("document.documentElement.scrollWidth"));
        Assert.Empty(await page.EvaluateAsync<string[]>(
            "() => [...document.querySelectorAll('#panel-several .wide')].filter(w => w.scrollWidth > w.clientWidth).map(w => w.innerText)"));
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot($"synthetic-{width}-several"), FullPage = width < 500 });

        // One is taken out, all are looked at as if, none is left.
        await page.Locator("#several-list button[aria-label='Take Spot 3 out']").ClickAsync();
        await Expect(page.Locator("#several-count")).ToHaveTextAsync("11");
        await page.Locator("#several-level").FillAsync("40");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("#as-if-words")).ToHaveTextAsync("◇ as if: 11 levels of 11 fixtures, not sent");
        await Expect(page.Locator("#several-ranges tbody th").First).ToHaveTextAsync("◇ Dimmer");
        await page.Locator("#several-clear").ClickAsync();
        await Expect(page.Locator("#marks .member")).ToHaveCountAsync(0);

        // By clicks with Shift, by the sheet's button, by all that a search finds.
        if (width > 500)
        {
            await page.Locator("#picture").ClickAsync(new LocatorClickOptions { Modifiers = [KeyboardModifier.Shift] });
            await Expect(page.Locator("#several-list li")).ToHaveCountAsync(1);
            await page.Locator("#picture").ClickAsync(new LocatorClickOptions { Modifiers = [KeyboardModifier.Shift] });
            await Expect(page.Locator("#several-list li")).ToHaveCountAsync(0);
        }

        await page.Locator("#tab-fixture").ClickAsync();
        await page.Locator("#find").FillAsync("Spot 1");
        await page.GetByRole(AriaRole.Button, new() { Name = "Take all 4 into several" }).ClickAsync();
        await Expect(page.Locator("#several-list li")).ToHaveCountAsync(4);
        await page.Locator("#several-list button").First.ClickAsync();
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 1");
        await page.Context.CloseAsync();
    }
}
