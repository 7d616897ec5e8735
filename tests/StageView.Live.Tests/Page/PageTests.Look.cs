using System.Text.Json;
using Microsoft.Playwright;
using StageView.Live.Shown;
using StageView.Live.Terms;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>The picture in sight: alone with its strip, beside folded details, under tools in one row, in a dark room.</summary>
public sealed partial class PageTests
{
    [Theory]
    [InlineData("desktop", 1440, 900)]
    [InlineData("tablet", 820, 1180)]
    [InlineData("phone", 390, 844)]
    public async Task The_picture_alone_keeps_the_time_and_the_worst_in_a_thin_strip(string device, int width, int height)
    {
        await using var served = await ServedShow.Start();
        served.Show.Level = 90;
        var page = await browser.Open(served.Server.Address, width, height, touch: device != "desktop");
        await BrightnessBecomes(page, b => b > 60);
        await page.Locator("#picture").ClickAsync();
        await page.Locator("#only").ClickAsync();
        await Expect(page.Locator("#picture")).ToBeFocusedAsync();
        await Expect(page.Locator("#strip")).ToBeVisibleAsync();
        foreach (var gone in new[] { "#keys-open", "#tools", "#timebar", "#sheet" })
        {
            await Expect(page.Locator(gone)).ToBeHiddenAsync();
        }

        var (picture, strip) = ((await page.Locator("#picture").BoundingBoxAsync())!, (await page.Locator("#strip").BoundingBoxAsync())!);
        Assert.Equal(width, picture.Width);
        Assert.True(picture.Height > .87 * height, $"the picture is {picture.Height} of {height} high");
        Assert.Equal(height, strip.Y + strip.Height, 1.0);
        await Expect(page.Locator("#strip-timecode")).ToHaveTextAsync("01:02:03:04");
        await Expect(page.Locator("#strip-worst")).ToHaveTextAsync("● network");
        await Expect(page.Locator("#strip-picked")).ToHaveTextAsync("Spot 1");
        served.Show.Second = "lost";
        await Expect(page.Locator("#strip-worst")).ToHaveTextAsync("✕ 1 of 2 universes lost");
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot($"synthetic-{device}-only") });
        served.Show.Fault = new RigFault("shows/synthetic.rig.jsonc", 3, [new FaultLine("synthetic.rig.jsonc", 42, "$", "expected three numbers", "")]);
        await Expect(page.Locator("#strip-worst")).ToHaveTextAsync("✕ synthetic.rig.jsonc can't be read");
        await page.Keyboard.PressAsync("Escape");
        await Expect(page.Locator("#strip")).ToBeHiddenAsync();
        await Expect(page.Locator("#sheet")).ToBeVisibleAsync();
        await page.Locator("#picture").FocusAsync();
        await page.Keyboard.PressAsync("f");
        await Expect(page.Locator("#strip")).ToBeVisibleAsync();
        await page.Locator("#only-end").ClickAsync();
        await Expect(page.Locator("#only")).ToBeFocusedAsync();
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData(1440, 900)]
    [InlineData(820, 1180)]
    [InlineData(390, 844)]
    public async Task The_tools_stand_in_one_row_and_what_has_no_room_waits_in_its_menu(int width, int height)
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address, width, height);
        const string Rows = """
            () => { const row = document.getElementById("tools"), r = row.getBoundingClientRect();
              return [...row.children].map(c => c.getBoundingClientRect()).filter(c => c.left < r.left || c.right > r.right + .5 || c.top < r.top
                || c.bottom > r.bottom
                || Math.abs((c.top + c.bottom - r.top - r.bottom) / 2) > 3).length; }
            """;
        Assert.Equal(0, await page.EvaluateAsync<int>(Rows));
        await page.Locator("#more").ClickAsync();
        await Expect(page.Locator("#more")).ToHaveAttributeAsync("aria-expanded", "true");
        foreach (var tool in new[] { "#cameras", "#only", "#exposure", "#note", "#work", "#aim-mode", "#move-mode", "#camera-save", "#page-light" })
        {
            await Expect(page.Locator(tool)).ToBeInViewportAsync(new() { Ratio = 1 });
        }

        await page.Keyboard.PressAsync("Escape");

        // Turned on its side the device has more room, and less again.
        await page.SetViewportSizeAsync(2400, 900);
        await Expect(page.Locator("#tools > #move-mode")).ToBeVisibleAsync();
        await page.SetViewportSizeAsync(width, height);
        await Expect(page.Locator("#tools > #move-mode")).ToHaveCountAsync(0);
        Assert.Equal(0, await page.EvaluateAsync<int>(Rows));
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData(1440, 900)]
    [InlineData(820, 1180)]
    [InlineData(390, 844)]
    public async Task The_details_fold_away_and_leave_the_tabs(int width, int height)
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address, width, height);
        async Task<double> Area()
        {
            var b = (await page.Locator("#picture").BoundingBoxAsync())!;
            return b.Width * b.Height;
        }

        var before = await Area();
        await page.Locator("#fold").ClickAsync();
        await Expect(page.Locator("#fold")).ToHaveAttributeAsync("aria-expanded", "false");
        await Expect(page.Locator("#panels")).ToBeHiddenAsync();
        await Expect(page.Locator("#tab-network")).ToBeInViewportAsync();
        Assert.True(await Area() > 1.25 * before, "the picture has no more room");

        // A pick leaves it folded: who folds it wants to see the picture.
        await page.Locator("#picture").ClickAsync();
        await Expect(page.Locator("#marks text").First).ToHaveTextAsync("Spot 1");
        await Expect(page.Locator("#panels")).ToBeHiddenAsync();
        await page.ReloadAsync();
        await Expect(page.Locator("#panels")).ToBeHiddenAsync();
        await page.Locator("#tab-network").ClickAsync();
        await Expect(page.Locator("#panel-network")).ToBeVisibleAsync();
        await page.Locator("#fold").ClickAsync();
        await page.Keyboard.PressAsync("/");
        await Expect(page.Locator("#find")).ToBeFocusedAsync();
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task On_a_phone_the_picture_stays_in_sight_whatever_is_read()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address, 390, 844, touch: true);
        await BrightnessBecomes(page, b => b > 1);
        await page.Locator("#picture").TapAsync();
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 1");
        await page.Locator("#levels tr").Last.ScrollIntoViewIfNeededAsync();
        await Expect(page.Locator("#levels tr").Last).ToBeInViewportAsync();
        await Expect(page.Locator("#picture")).ToBeInViewportAsync(new() { Ratio = 1 });
        Assert.True((await page.Locator("#picture").BoundingBoxAsync())!.Height > 200, "the picture is too low to be looked at");

        // On its side there is no room for both: the page scrolls under the picture.
        await page.SetViewportSizeAsync(844, 390);
        await page.Locator("#levels tr").Last.EvaluateAsync("l => l.scrollIntoView({ block: 'end' })");
        await Expect(page.Locator("#picture")).ToBeInViewportAsync(new() { Ratio = 1 });
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task In_a_dark_room_the_page_is_dimmed_and_the_picture_is_not()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await Tool(page, "#page-light", act: false);
        await page.Locator("#page-light").FillAsync("40");
        await Expect(page.Locator("#page-light-is")).ToHaveTextAsync("40 %");
        await page.ReloadAsync();
        await Expect(page.Locator("#page-light")).ToHaveValueAsync("40");
        const string Filters = "() => ['top', 'sheet', 'timebar', 'keys', 'picture', 'frame', 'stage']"
            + ".map(id => getComputedStyle(document.getElementById(id)).filter)"
            + ".join(' ')";
        Assert.Equal("brightness(0.4) brightness(0.4) brightness(0.4) brightness(0.4) none none none", await page.EvaluateAsync<string>(Filters));
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData(1440, 900)]
    [InlineData(820, 1180)]
    [InlineData(390, 844)]
    public async Task The_accessibility_checker_finds_nothing_in_any_way_to_look(int width, int height)
    {
        using var folder = new TempFolder();
        var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address, width, height);
        await page.Locator("#picture").ClickAsync();
        await Expect(page.Locator("#marks text").First).ToHaveTextAsync("Spot 1");
        await page.EvaluateAsync(await File.ReadAllTextAsync(NodeTools.Module("axe-core", "axe.min.js"), TestContext.Current.CancellationToken));
        await FindsNothing(page, "whole");
        if (width == 390)
        {
            // What these look like does not hang on the size.
            served.Show.Cues = [new("doors", 12.5)];
            served.Show.Notes = new NotesTable(folder["synthetic.notes.json"], served.Journal, TimeProvider.System);
            await page.Locator("#captures").SelectOptionAsync("take 1");
            await Expect(page.Locator("#source")).ToHaveTextAsync("❚❚ capture: take 1");
            await page.Locator("#picture").FocusAsync();
            await page.Keyboard.PressAsync("m");
            await Expect(page.Locator("#line")).ToBeFocusedAsync();
            await Tool(page, "#page-light", act: false);
            await page.Locator("#page-light").FillAsync("40");
            await page.Keyboard.PressAsync("Escape");
            await FindsNothing(page, "a capture with a note being written, dimmed");
            await page.Locator("#line").FillAsync("colder");
            await page.Locator("#line-save").ClickAsync();
            await page.Locator("#tab-notes").ClickAsync();
            await Expect(page.Locator("#notes .row")).ToHaveCountAsync(1);
            await FindsNothing(page, "notes");
            await page.Locator("#listen").ClickAsync();
        }

        await page.Locator("#more").ClickAsync();
        await FindsNothing(page, "menu");
        await page.Keyboard.PressAsync("Escape");
        await page.Locator("#fold").ClickAsync();
        await FindsNothing(page, "folded");
        await page.Locator("#only").ClickAsync();
        await FindsNothing(page, "picture only");
        await served.DisposeAsync();
        await Expect(page.Locator("#strip-worst")).ToHaveTextAsync("✕ not connected");
        await FindsNothing(page, "picture only, disconnected");
        await page.Locator("#only-end").ClickAsync();
        await page.Locator("#fold").ClickAsync();
        await FindsNothing(page, "disconnected");
        await page.Context.CloseAsync();
    }

    /// <summary>The accessibility checker, which is on the page already, has nothing to say.</summary>
    private static async Task FindsNothing(IPage page, string state)
    {
        var found = await page.EvaluateAsync<JsonElement>("""
            async () => (await axe.run(document, { resultTypes: ["violations"] })).violations
              .map(v => v.id + ": " + v.nodes.map(n => n.target + " " + n.failureSummary).join("; "))
            """);
        Assert.True(found.GetArrayLength() == 0, state + ": " + found);
    }

    /// <summary>Presses a tool, out of the menu where the row has no room for it.</summary>
    private static async Task Tool(IPage page, string tool, bool act = true)
    {
        if (!await page.Locator(tool).IsVisibleAsync())
        {
            await page.Locator("#more").ClickAsync();
        }

        await Expect(page.Locator(tool)).ToBeVisibleAsync();
        if (act)
        {
            await page.Locator(tool).ClickAsync();
        }
    }
}
