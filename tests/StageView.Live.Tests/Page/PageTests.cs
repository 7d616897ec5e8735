using Microsoft.Playwright;
using StageView.Live.Terms;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>The page against a synthetic show: every control, by mouse, keys and touch.</summary>
[Collection(LiveMachine.Name)]
public sealed partial class PageTests(Browser browser)
{
    [Fact]
    public async Task A_level_changes_the_picture_and_nothing_is_fetched_from_elsewhere()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        var strays = new List<string>();
        page.Request += (_, r) =>
        {
            if (!r.Url.StartsWith(served.Server.Address.ToString(), StringComparison.Ordinal)
            && !r.Url.StartsWith("blob:", StringComparison.Ordinal)) { strays.Add(r.Url); }
        };
        var errors = new List<string>();
        page.PageError += (_, e) => errors.Add(e);
        page.Console += (_, m) => { if (m.Type == "error") { errors.Add(m.Text); } };
        await page.ReloadAsync();
        served.Show.Level = 200;
        await BrightnessBecomes(page, b => b > 180);
        served.Show.Level = 10;
        await BrightnessBecomes(page, b => b < 50);
        await Expect(page.Locator("#rig-name")).ToHaveTextAsync("synthetic rig");
        await Expect(page.Locator("#timecode")).ToHaveTextAsync("01:02:03:04");
        Assert.Empty(strays);
        Assert.Empty(errors);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_click_picks_and_an_aim_is_answered()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await BrightnessBecomes(page, b => b > 1);
        await page.Locator("#picture").ClickAsync();
        await Expect(page.Locator("#fixture")).ToContainTextAsync("Spot 1");
        await Expect(page.Locator("#landings tbody tr")).ToHaveCountAsync(1);
        await Expect(page.Locator("#landings tbody")).ToContainTextAsync("812");
        await Expect(page.Locator("#landings")).ToContainTextAsync("and 2 under 1 lx");
        await Expect(page.Locator("#marks circle.landing")).ToHaveCountAsync(1);
        Assert.Equal("none", await page.EvaluateAsync<string>("getComputedStyle(document.querySelector('#marks path.landing')).strokeDasharray"));
        await Expect(page.Locator("#aim-who")).ToHaveTextAsync("for Spot 1");
        await Tool(page, "#aim-mode");
        await page.Locator("#picture").ClickAsync(new LocatorClickOptions { Position = new Position { X = 300, Y = 500 } });
        await Expect(page.Locator("#aim")).ToContainTextAsync("pan 12.30°, tilt -45.60°");
        await Expect(page.Locator("#aim")).ToContainTextAsync("outside the tilt limits");
        await Expect(page.Locator("#aim")).ToContainTextAsync("no light into eyes");
        await Expect(page.Locator("#marks text").Filter(new() { HasText = "target" })).ToHaveCountAsync(1);
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-aim") });

        // The answer belongs to this head: with the next one it goes, and its mark with it.
        var target = page.Locator("#marks text").Filter(new() { HasText = "target" });
        await page.Locator("#picture").FocusAsync();
        await page.Keyboard.PressAsync("n");
        await Expect(page.Locator("#aim-who")).ToHaveTextAsync("for Spot 2");
        Assert.Equal("", await page.Locator("#aim").TextContentAsync());
        await Expect(target).ToHaveCountAsync(0);
        await page.Locator("#aim-form button").ClickAsync();
        await Expect(target).ToHaveCountAsync(1);
        await page.Keyboard.PressAsync("Escape");
        await Expect(target).ToHaveCountAsync(0);

        // What was said of a pick that failed ends with one that is answered.
        served.Show.Under = -1;
        await page.Locator("#picture").ClickAsync();
        await Expect(page.Locator("#said")).ToContainTextAsync("no fixture and no beam there");
        served.Show.Under = 6;
        await page.Locator("#picture").ClickAsync();
        await Expect(page.Locator("#aim-who")).ToHaveTextAsync("for Spot 7");
        Assert.Equal("", await page.Locator("#said").TextContentAsync());

        // A target that is set before any pick waits for it.
        await page.Context.CloseAsync();
        page = await browser.Open(served.Server.Address);
        target = page.Locator("#marks text").Filter(new() { HasText = "target" });
        await BrightnessBecomes(page, b => b > 1);
        await page.Locator("#picture").FocusAsync();
        await page.Keyboard.PressAsync("c");
        await page.Keyboard.PressAsync("t");
        await Expect(page.Locator("#said")).ToContainTextAsync("Now pick the fixture");
        await Expect(target).ToHaveCountAsync(1);
        Assert.Equal("", await page.Locator("#aim").TextContentAsync());
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("#aim h3").First).ToContainTextAsync("Spot 7 to");
        Assert.Equal("aim Spot 7", served.Show.Asked[^1]);
        await Expect(target).ToHaveCountAsync(1);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Whose_light_is_seen_where_one_clicked_is_told_and_each_can_be_taken()
    {
        await using var served = await ServedShow.Start();
        served.Show.There = [new PickLine("Spot 1", .62), new PickLine("Spot 4", .3), new PickLine("Spot 9", 0)];
        var page = await browser.Open(served.Server.Address);
        await BrightnessBecomes(page, b => b > 1);
        await Expect(page.Locator("#there")).ToBeHiddenAsync();
        await page.Locator("#picture").ClickAsync();
        var buttons = page.Locator("#there button");
        await Expect(buttons).ToHaveTextAsync(["Spot 1 62 %", "Spot 4 30 %", "Spot 9 (head)"]);
        await Expect(buttons.First).ToHaveAttributeAsync("aria-pressed", "true");
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-there") });
        await buttons.Nth(1).FocusAsync();
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 4");
        await Expect(buttons.Nth(1)).ToHaveAttributeAsync("aria-pressed", "true");
        await Expect(buttons.Nth(1)).ToBeFocusedAsync();

        // Another fixture was not clicked there.
        await Pick(page, "Spot 7");
        await Expect(page.Locator("#there")).ToBeHiddenAsync();
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task What_one_page_opens_another_does_not_see_until_it_leads()
    {
        await using var served = await ServedShow.Start();
        served.Show.OfItsOwn = () => new SyntheticShow();
        var (tablet, desk) = (await browser.Open(served.Server.Address), await browser.Open(served.Server.Address));
        await tablet.Locator("#captures").SelectOptionAsync("take 1");
        await Expect(tablet.Locator("#source")).ToHaveTextAsync("❚❚ capture: take 1");
        await Expect(tablet.Locator("#lead-words")).ToHaveTextAsync("seen here only");
        await Expect(desk.Locator("#source")).ToHaveTextAsync("● network");

        // A reload finds it again.
        await tablet.ReloadAsync();
        await Expect(tablet.Locator("#source")).ToHaveTextAsync("❚❚ capture: take 1");
        await tablet.Locator("#lead").ClickAsync();
        await Expect(tablet.Locator("#lead")).ToHaveAttributeAsync("aria-pressed", "true");
        await Expect(desk.Locator("#source")).ToHaveTextAsync("❚❚ capture: take 1");
        await Expect(desk.Locator("#lead-words")).ToHaveTextAsync("led from another device");
        await Expect(desk.Locator("#lead")).ToBeHiddenAsync();
        await desk.Locator("#play").ClickAsync();
        await Expect(desk.Locator("#said")).ToContainTextAsync("another device leads what is shown");
        await tablet.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-leads") });
        await tablet.Locator("#lead").ClickAsync();
        await Expect(desk.Locator("#source")).ToHaveTextAsync("● network");
        await Expect(desk.Locator("#lead-box")).ToBeHiddenAsync();
        await desk.Context.CloseAsync();
        await tablet.Context.CloseAsync();
    }

    [Fact]
    public async Task A_commit_of_the_group_can_be_taken_once_its_changes_were_shown()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await Expect(page.Locator("#tab-group")).ToBeHiddenAsync();
        served.Show.Group = new GroupState("tour", "10.0.0.20", false, null, [new GroupStation("office", "a program", "10.0.0.30", "")],
            [new GroupCommit("0b1c5b62", "office", "a <b>new</b> truss", 2_000_000, "", "", null, 0, [])]);
        await page.Locator("#tab-group").ClickAsync();
        await Expect(page.Locator("#group-words")).ToContainTextAsync("nothing is taken until you say so");
        await Expect(page.Locator("#commits strong")).ToHaveTextAsync("a <b>new</b> truss");
        var take = page.GetByRole(AriaRole.Button, new() { Name = "Take it" });
        await Expect(take).ToHaveCountAsync(0);
        await page.GetByRole(AriaRole.Button, new() { Name = "What would it change?" }).ClickAsync();
        await Expect(page.Locator("#commits")).ToContainTextAsync("fixture Spot 1 is gone");
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-group") });
        await take.ClickAsync();
        await Expect(page.Locator("#commits")).ToContainTextAsync("taken");
        await Expect(take).ToHaveCountAsync(0);
        await page.Locator("#commit-is").FillAsync("as hung");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("#commit-is")).ToHaveValueAsync("");
        Assert.Equal(["look at 0b1c5b62", "take 0b1c5b62", "commit as hung"], served.Show.Asked);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Escape_drops_a_drag_and_nothing_is_written()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await BrightnessBecomes(page, b => b > 1);
        await page.Locator("#picture").ClickAsync();
        var ring = page.Locator("#marks .ring").First;
        var hangs = (await ring.GetAttributeAsync("cx"))!;
        async Task<(float X, float Y)> Ring() => (float.Parse((await ring.GetAttributeAsync("cx"))!), float.Parse((await ring.GetAttributeAsync("cy"))!));
        var home = await Ring();
        await Tool(page, "#move-mode");
        var frame = (await page.Locator("#picture").BoundingBoxAsync())!;
        await page.Mouse.MoveAsync(frame.X + home.X, frame.Y + home.Y);
        await page.Mouse.DownAsync();
        await page.Mouse.MoveAsync(frame.X + home.X + 80, frame.Y + home.Y + 6, new MouseMoveOptions { Steps = 5 });
        await Expect(ring).Not.ToHaveAttributeAsync("cx", hangs);
        var eye = await Eye(page);
        await page.Keyboard.PressAsync("Escape");
        Assert.Equal(home, await Ring());
        await Expect(page.Locator("#move-mode")).ToHaveAttributeAsync("aria-pressed", "false");
        await page.Mouse.MoveAsync(frame.X + home.X + 120, frame.Y + home.Y + 6, new MouseMoveOptions { Steps = 5 });
        await page.Mouse.UpAsync();
        // Whatever the release sent is answered before the second of these.
        await page.Keyboard.PressAsync("n");
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 2");
        await page.Keyboard.PressAsync("p");
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 1 ");
        Assert.Equal(0, served.Show.Moves);
        Assert.Equal(home, await Ring());
        Assert.Equal(eye, await Eye(page));
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Everything_is_reached_by_keys()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        var keys = page.Keyboard;

        // Find a fixture in the patch.
        await keys.PressAsync("/");
        await Expect(page.Locator("#find")).ToBeFocusedAsync();
        await keys.TypeAsync("Spot 1");
        await Expect(page.Locator("#found button")).ToHaveCountAsync(4);
        foreach (var _ in Enumerable.Range(0, 3))
        {
            await keys.PressAsync("Tab");
        }

        // A long list folds after the pick, keeps the focus and knows what was chosen.
        await keys.PressAsync("Enter");
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 11");
        await Expect(page.Locator("#found button")).ToHaveTextAsync("Show the 4 found");
        await Expect(page.Locator("#found button")).ToBeFocusedAsync();
        await keys.PressAsync("Enter");
        await Expect(page.Locator("#found button")).ToHaveCountAsync(4);
        await Expect(page.Locator("#found [aria-current]")).ToContainTextAsync("Spot 11");
        await Expect(page.Locator("#found [aria-current]")).ToBeFocusedAsync();
        await page.Locator("#find").FillAsync("");
        await page.Locator("#find").FocusAsync();
        await keys.TypeAsync("Spot 7");
        await Expect(page.Locator("#found button")).ToHaveCountAsync(1);
        await keys.PressAsync("Enter");
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 7");

        // F6 goes round; in the picture the arrow keys turn, the cross picks and targets.
        await keys.PressAsync("F6");
        await Expect(page.Locator("#picture")).ToBeFocusedAsync();
        var before = await Eye(page);
        await keys.PressAsync("ArrowRight");
        var turned = await Eye(page);
        Assert.NotEqual(before, turned);
        await keys.PressAsync("Shift+ArrowUp");
        Assert.NotEqual(turned, await Eye(page));
        await keys.PressAsync("2");
        await Expect(page.Locator("#cameras")).ToHaveValueAsync("rig:from the left");
        await keys.PressAsync("c");
        await keys.PressAsync("ArrowDown");
        await keys.PressAsync("Enter");
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 1");
        await keys.PressAsync("t");
        await Expect(page.Locator("#aim")).ToContainTextAsync("pan 12.30°");

        // The tabs follow the arrow keys, and each panel holds what it says.
        await page.Locator("#tab-aim").FocusAsync();
        await keys.PressAsync("ArrowRight");
        await Expect(page.Locator("#tab-network")).ToBeFocusedAsync();
        await Expect(page.Locator("#panel-network")).ToContainTextAsync("universe 2 is patched but silent");
        await Expect(page.Locator("#universes")).ToContainTextAsync("1 fixture patched");
        await keys.PressAsync("ArrowRight");
        await Expect(page.Locator("#panel-cautions")).ToContainTextAsync("Laser 2 enters the audience volume");
        await Expect(page.Locator("#cautions-over")).ToHaveTextAsync("Shown since 20:00:00");
        await Expect(page.Locator("#cautions-not")).ToContainTextAsync("lasers that scan");
        await Expect(page.Locator("#cautions-looked")).ToContainTextAsync("laserHeight 3 m");

        // A click on a row looks at its place: the view is no camera's any more.
        await page.Locator("#cautions button").ClickAsync();
        await Expect(page.Locator("#cameras")).ToHaveValueAsync("hand");
        await keys.PressAsync("End");
        await Expect(page.Locator("#panel-night")).ToContainTextAsync("a viewer at");

        // Time: every control is a stop of the tab key.
        await page.Locator("#record").FocusAsync();
        await keys.PressAsync("Enter");
        await Expect(page.Locator("#record")).ToHaveAttributeAsync("aria-pressed", "true");
        Assert.True(served.Show.Recording);
        await page.Locator("#picture").FocusAsync();
        await keys.PressAsync("Shift+R");
        await Expect(page.Locator("#record")).ToHaveAttributeAsync("aria-pressed", "false");
        await keys.PressAsync("r");
        Assert.False(served.Show.Recording);
        await page.Locator("#captures").SelectOptionAsync("take 1");
        await Expect(page.Locator("#play")).ToBeEnabledAsync();
        await page.Locator("#picture").FocusAsync();
        await keys.PressAsync("Space");
        await Expect(page.Locator("#play-word")).ToHaveTextAsync("Pause");

        // Held down it is pressed once.
        await keys.DownAsync("Space");
        await Expect(page.Locator("#play-word")).ToHaveTextAsync("Play");
        await keys.DownAsync("Space");
        await keys.DownAsync("Space");
        await keys.UpAsync("Space");
        await keys.DownAsync("Shift");
        await keys.DownAsync("r");
        await Expect(page.Locator("#record")).ToHaveAttributeAsync("aria-pressed", "true");
        await keys.DownAsync("r");
        await keys.UpAsync("r");
        await keys.UpAsync("Shift");
        Assert.True(served.Show.Recording);
        Assert.False(served.Show.Playing);

        // Where the picture has no focus these two do nothing (WCAG 2.2, success criterion 2.1.4, character key shortcuts).
        await page.Locator("#tab-night").FocusAsync();
        await keys.PressAsync("Shift+R");
        await keys.PressAsync("w");
        await Expect(page.Locator("#work")).ToHaveAttributeAsync("aria-pressed", "true");
        await page.Locator("#listen").ClickAsync();
        await Expect(page.Locator("#play")).ToBeDisabledAsync();
        Assert.True(served.Show.Recording);
        await keys.PressAsync("?");
        await Expect(page.Locator("#keys")).ToBeVisibleAsync();
        await keys.PressAsync("Escape");
        await Expect(page.Locator("#keys")).Not.ToBeVisibleAsync();
        await page.Locator("#tab-fixture").ClickAsync();
        await page.Locator("#hangs summary").FocusAsync();
        await keys.PressAsync("Enter");
        await page.Locator("#top").FocusAsync();
        var stops = new HashSet<string>();
        for (var i = 0; i < 60; i++)
        {
            await keys.PressAsync("Tab");
            stops.Add(await page.EvaluateAsync<string>("() => document.activeElement.id || document.activeElement.type || ''"));
        }

        Assert.Empty(new[] { "keys-open", "picture", "cameras", "only", "exposure", "work", "more", "tab-fixture", "fold", "find",
            "panel-fixture", "place-x", "place-y", "place-z", "captures", "pace", "record" }.Except(stops));

        // What had no room in the row follows the button of the menu.
        await page.Locator("#more").FocusAsync();
        await keys.PressAsync("Enter");
        await Expect(page.Locator("#camera-save")).ToBeVisibleAsync();
        for (var i = 0; i < 12; i++)
        {
            await keys.PressAsync("Tab");
            stops.Add(await page.EvaluateAsync<string>("() => document.activeElement.id || ''"));
        }

        Assert.Empty(new[] { "aim-mode", "move-mode", "camera-save", "page-light" }.Except(stops));
        await keys.PressAsync("Escape");
        await Expect(page.Locator("#more-tools")).ToBeHiddenAsync();
        await Expect(page.Locator("#more")).ToHaveAttributeAsync("aria-expanded", "false");
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Landings_follow_under_every_panel_and_go_with_the_source_they_belong_to()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await BrightnessBecomes(page, b => b > 1);
        await page.Locator("#picture").ClickAsync();
        var marks = page.Locator("#marks text").Filter(new() { HasText = "lx" });
        await Expect(marks).ToHaveTextAsync("812 lx");
        await page.Locator("#tab-network").ClickAsync();
        served.Show.Lux = 300;
        await Expect(marks).ToHaveTextAsync("300 lx");
        // Nothing newer is told: what belonged to the network must not stand over the capture.
        served.Show.Mute = true;
        await page.Locator("#captures").SelectOptionAsync("take 1");
        await Expect(marks).ToHaveCountAsync(0);
        served.Show.Mute = false;
        await Expect(marks).ToHaveTextAsync("300 lx");
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData("heard", "heard", "● network", "rgb(166, 217, 159)")]
    [InlineData("heard", "silent", "○ 1 of 2 universes silent", "rgb(242, 182, 97)")]
    [InlineData("heard", "lost", "✕ 1 of 2 universes lost", "rgb(255, 154, 133)")]
    [InlineData("silent", "silent", "○ network silent", "rgb(242, 182, 97)")]
    [InlineData("silent", "lost", "✕ network lost", "rgb(255, 154, 133)")]
    public async Task The_badge_says_the_worst_of_the_patched_universes(string first, string second, string text, string colour)
    {
        await using var served = await ServedShow.Start();
        (served.Show.Universe, served.Show.Second) = (first, second);
        var page = await browser.Open(served.Server.Address);
        await Expect(page.Locator("#source")).ToHaveTextAsync(text);
        Assert.Equal(colour, await page.EvaluateAsync<string>("getComputedStyle(document.getElementById('source')).color"));
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData(.06, 5)]
    [InlineData(.5, 7)]
    public async Task Labels_of_spots_that_lie_together_do_not_lie_over_each_other(float metres, int shown)
    {
        await using var served = await ServedShow.Start();
        served.Show.Landings = [.. Enumerable.Range(0, 6).Select(i => new LandingLine("", [i * metres, 2, 0], "stage floor", 6.3, 1, 1, 1000 + i, 21))];
        var page = await browser.Open(served.Server.Address);
        await Pick(page, "Spot 7");
        await Expect(page.Locator("#marks circle.landing")).ToHaveCountAsync(6);
        await page.ScreenshotAsync(new() { Path = Browser.Shot("labels") });
        var boxes = await page.EvaluateAsync<double[][]>(
            "() => [...document.querySelectorAll('#marks text')].map(t => t.getBBox()).map(b => [b.x, b.y, b.x + b.width, b.y + b.height])");
        Assert.Equal(shown, boxes.Length);
        foreach (var (a, i) in boxes.Select((b, i) => (b, i)))
        {
            Assert.DoesNotContain(boxes.Skip(i + 1), b => a[0] < b[2] && b[0] < a[2] && a[1] + 3 < b[3] && b[1] + 3 < a[3]);
        }

        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_broken_rig_file_shows_its_line_and_the_alert_goes_when_mended()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        served.Show.Fault = new RigFault("synthetic.rig.jsonc", 3,
            [new FaultLine("synthetic.rig.jsonc", 42, "$.hangs[3].at", "expected three numbers", "  \"at\": [1, 2 <img src=x onerror=alert(1)>")]);
        await Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("line 42, $.hangs[3].at: expected three numbers");
        await Expect(page.Locator("#fault pre")).ToContainTextAsync("<img src=x");
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-fault") });
        served.Show.Fault = null;
        await Expect(page.Locator("#fault")).ToBeHiddenAsync();
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_typed_position_is_written_and_taken_back()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await page.Locator("#picture").ClickAsync();
        await page.Locator("#hangs summary").ClickAsync();
        await page.Locator("#place-x").FillAsync("1.25");
        await page.Locator("#place-form button").ClickAsync();
        await Expect(page.Locator("#said")).ToContainTextAsync("moved");
        Assert.Equal(1.25f, served.Show.Rig.Fixtures[0].At[0]);
        await page.Locator("#tab-rigfile").ClickAsync();
        await page.Locator("#undo").ClickAsync();
        await Expect(page.Locator("#undo")).ToBeDisabledAsync();
        Assert.Equal(-6f, served.Show.Rig.Fixtures[0].At[0]);
        await page.Context.CloseAsync();
    }
}
