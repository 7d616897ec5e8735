using Microsoft.Playwright;
using StageView.Live.Terms;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>What the page looks like and how it is touched: devices, contrast, the accessibility checker.</summary>
public sealed partial class PageTests
{
    [Theory]
    [InlineData("work", false)]
    [InlineData("record", false)]
    [InlineData("record", true)]
    public async Task A_pressed_button_is_read_under_the_pointer_and_after_a_tap(string id, bool touch)
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address, touch ? 390 : 1440, 844, touch);
        var button = page.Locator("#" + id);
        if (touch)
        {
            await button.TapAsync();
        }
        else
        {
            if (id == "record")
            {
                await button.ClickAsync();
            }

            await button.HoverAsync();
        }

        await Expect(button).ToHaveAttributeAsync("aria-pressed", "true");
        // Relative luminance and contrast as WCAG 2.2 defines them; 1.4.3 asks for 4.5 to 1.
        var contrast = await button.EvaluateAsync<double>("""
            b => { const s = getComputedStyle(b), light = c => { const [r, g, bl] = c.match(/[\d.]+/g)
              .map(v => (v /= 255) <= .04045 ? v / 12.92 : ((v + .055) / 1.055) ** 2.4); return .2126 * r + .7152 * g + .0722 * bl; };
              const [x, y] = [light(s.color), light(s.backgroundColor)].sort((m, n) => n - m); return (x + .05) / (y + .05); }
            """);
        Assert.InRange(contrast, 4.5, 21);
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData("desktop", 1440, 900)]
    [InlineData("tablet", 1024, 768)]
    [InlineData("tablet-upright", 768, 1024)]
    public async Task Nothing_runs_out_of_the_page_on_any_device(string device, int width, int height)
    {
        await using var served = await ServedShow.Start();
        served.Show.Level = 90;

        // With every tab that there can be.
        served.Show.Group = new GroupState("tour", "10.0.0.20", false, null, [], []);
        var page = await browser.Open(served.Server.Address, width, height, touch: device != "desktop");
        await BrightnessBecomes(page, b => b > 60);
        await page.Locator("#picture").ClickAsync();
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 1");
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-" + device) });
        await page.Locator("#levels").ScrollIntoViewIfNeededAsync();
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot($"synthetic-{device}-levels") });
        Assert.Empty(await page.EvaluateAsync<string[]>(CutLevels));
        Assert.Empty(await page.EvaluateAsync<string[]>(TabsOutOfSight));
        Assert.Equal(width, await page.EvaluateAsync<int>("document.documentElement.scrollWidth"));

        // Fingers need room: no control is lower than 24 CSS pixels (WCAG 2.2, 2.5.8).
        var small = await page.EvaluateAsync<string[]>("""
            () => [...document.querySelectorAll("button, select, input")].filter(e => e.offsetParent && (e.offsetHeight < 24 || e.offsetWidth < 24)
              && e.type !== "checkbox").map(e => e.id || e.textContent)
            """);
        Assert.Empty(small);
        await page.Context.CloseAsync();
    }

    /// <summary>Cells of the levels whose text runs out of them or has no room beside a long name, and values on two lines.</summary>
    private const string CutLevels = """
        () => [...document.querySelectorAll("#levels th, #levels td")].filter(c => { const t = document.createRange(), r = c.getBoundingClientRect(),
          w = c.closest(".wide").getBoundingClientRect();
            t.selectNodeContents(c); const b = t.getBoundingClientRect(); return !c.offsetParent || b.right > Math.min(r.right, w.right) + 1
              || b.left < w.left - 1 || (c.cellIndex === 2 && r.width < w.width / 3); })
          .concat([...document.querySelectorAll("#levels td.number span, #levels .value")].filter(v => v.getClientRects().length > 1)).map(c => c.innerText)
        """;

    private const string TabsOutOfSight =
        "() => [...document.querySelectorAll('[role=tab]')].filter(t => !t.hidden).filter(t => { const r = t.getBoundingClientRect(), l = "
        + "document.getElementById('tabs').getBoundingClientRect(); return r.right > l.right || r.left < l.left; }).map(t => t.id)";

    [Theory]
    [InlineData(1440, 900)]
    [InlineData(1024, 768)]
    public async Task Nothing_jumps_when_the_source_the_timecode_or_the_recorder_changes(int width, int height)
    {
        await using var served = await ServedShow.Start();
        (served.Show.Take, served.Show.Length) = ("2026-11-27 20.22.31.pcapng", 3725);
        var page = await browser.Open(served.Server.Address, width, height, touch: width < 1100);
        await Expect(page.Locator("#timecode-note")).ToHaveTextAsync("25 frames/s, runs");
        const string Places = """
            () => ["top", "frame", "timebar", "tabs", "keys-open", "record"].map(id => { const r = document.getElementById(id).getBoundingClientRect();
              return [id, r.top, r.bottom, id === "record" ? r.left : 0].map(v => typeof v === "number" ? Math.round(v) : v).join(" "); }).join(", ")
            """;
        var calm = await page.EvaluateAsync<string>(Places);
        // However slow the link becomes, and says so.
        const string Slow = "delay 12,345 ms · 10 pictures/s · coarse for a slow link";
        Assert.Equal(calm, await page.EvaluateAsync<string>($"says => {{ document.getElementById('link').textContent = says; return ({Places})(); }}", Slow));
        var rows = await page.EvaluateAsync<string[]>("""
            () => [["top", 1], ["timebar", 1], ["tools", 1]].filter(([id, most]) => {
              const e = document.getElementById(id) ?? document.querySelector("." + id);
              const seen = []; for (const c of [...e.children].filter(c => c.offsetParent)) { const r = c.getBoundingClientRect();
                if (!seen.some(s => s.top < r.bottom && r.top < s.bottom)) seen.push(r); } return seen.length > most; }).map(([id]) => id)
            """);
        Assert.Empty(rows);
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot($"synthetic-{width}-network") });
        var note = await page.Locator("#timecode-note").EvaluateAsync<double>("n => n.getBoundingClientRect().width");
        served.Show.Note = "29.97 frames/s, drop, stands";
        await page.Locator("#captures").SelectOptionAsync(served.Show.Take);
        await Expect(page.Locator("#timecode-note")).ToHaveTextAsync("29.97 drop, stands");
        served.Show.Note = "29.97 frames/s, drop, of the capture";
        await Expect(page.Locator("#timecode-note")).ToHaveTextAsync("29.97 drop, capture");
        // The year and the ending say nothing; the whole name is under the pointer.
        await Expect(page.Locator("#source")).ToHaveTextAsync("❚❚ capture: 11-27 20.22.31");
        await Expect(page.Locator("#source")).ToHaveAttributeAsync("title", served.Show.Take);
        await page.Locator("#record").ClickAsync();
        await Expect(page.Locator("#record")).ToHaveAttributeAsync("aria-pressed", "true");
        await page.Locator("#picture").FocusAsync();
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot($"synthetic-{width}-capture") });
        Assert.Equal(calm, await page.EvaluateAsync<string>(Places));
        Assert.Equal(note, await page.Locator("#timecode-note").EvaluateAsync<double>("n => n.getBoundingClientRect().width"));
        // In the header nothing is cut and nothing lies over its neighbour.
        Assert.Empty(await page.EvaluateAsync<string[]>("""
            says => { document.getElementById("link").textContent = says; return [...document.querySelectorAll(".top > *")].filter(e => e.offsetParent)
              .filter((e, i, all) => e.scrollWidth > e.clientWidth + 1 || (i > 0 && e.getBoundingClientRect().left < all[i - 1].getBoundingClientRect().right))
                .map(e => e.id || e.innerText); }
            """, Slow));
        served.Show.Timecode = null;
        await Expect(page.Locator("#timecode-box")).ToBeHiddenAsync();
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task On_a_phone_no_table_is_cut_and_the_list_of_keys_opens_at_its_beginning()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address, 390, 844, touch: true);
        await BrightnessBecomes(page, b => b > 1);
        await page.Locator("#picture").TapAsync();
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 1");
        // What the tap asked for is scrolled into sight, the place folded away.
        await Expect(page.Locator("#fixture .small").First).ToBeInViewportAsync();
        Assert.Empty(await page.EvaluateAsync<string[]>(CutLevels));
        Assert.Empty(await page.EvaluateAsync<string[]>(TabsOutOfSight));
        await Expect(page.Locator("#place-form")).ToBeHiddenAsync();
        const string Cut = "() => [...document.querySelectorAll('.wide')].filter(w => w.offsetParent && w.scrollWidth > w.clientWidth).map(w => w.innerText)";
        Assert.Empty(await page.EvaluateAsync<string[]>(Cut));
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-phone-fixture"), FullPage = true });
        // With the picture scrolled away, what is said is still in sight.
        await page.Locator("#levels").EvaluateAsync("l => l.scrollIntoView({ block: 'start' })");
        Assert.Equal("whole", await WhileSaid(page, "moved",
            "const r = s.getBoundingClientRect(); return r.height > 0 && r.top >= 0 && r.left >= 0 && r.bottom <= innerHeight && r.right <= innerWidth ? "
            + "'whole' : 'cut'",
            () => page.Locator("#place-form button").EvaluateAsync("b => b.click()")));
        // So is the answer of a target that is set in the picture.
        await page.EvaluateAsync("scrollTo(0, 0)");
        await Tool(page, "#aim-mode");
        await page.EvaluateAsync("scrollTo(0, 0)");
        await page.Locator("#picture").TapAsync();
        await Expect(page.Locator("#aim .way")).ToContainTextAsync("pan 12.30°");
        await Expect(page.Locator("#aim .way").First).ToBeInViewportAsync(new() { Ratio = .4f });
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-phone-aim") });
        await page.Locator("#tab-network").TapAsync();
        await page.Locator("#universes button").TapAsync();
        await Expect(page.Locator("#universes .rest")).ToContainTextAsync("desk of the synthetic rig, 127.0.0.1, sACN");
        Assert.Empty(await page.EvaluateAsync<string[]>(Cut));
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-phone-network"), FullPage = true });
        await page.Locator("#keys-open").TapAsync();
        await Expect(page.Locator("#keys-title")).ToBeFocusedAsync();
        await Expect(page.Locator("#gestures")).ToBeInViewportAsync();
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-phone-keys") });
        Assert.Equal(0, await page.EvaluateAsync<int>("document.getElementById('keys').scrollTop"));
        Assert.True(await page.EvaluateAsync<bool>(
            "document.getElementById('gestures').getBoundingClientRect().bottom <= document.querySelector('#keys dl').getBoundingClientRect().top"));
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task On_a_phone_everything_fits_and_a_finger_turns_the_view()
    {
        await using var served = await ServedShow.Start();
        (served.Show.Level, served.Show.Length) = (90, 3725);
        var page = await browser.Open(served.Server.Address, 390, 844, touch: true);
        await BrightnessBecomes(page, b => b > 60);
        Assert.Equal(390, await page.EvaluateAsync<int>("document.documentElement.scrollWidth"));
        await page.Locator("#captures").SelectOptionAsync(served.Show.Take);
        await Expect(page.Locator("#scrub-at")).ToHaveTextAsync("0:00.0");
        // What is said lies whole over the picture, and a failure does not look like a success.
        const string Said =
            "const r = s.getBoundingClientRect(), f = document.getElementById('frame').getBoundingClientRect(); return [r.left >= f.left && r.right <= "
            + "f.right && r.top >= f.top && r.bottom <= f.bottom, getComputedStyle(s).backgroundColor].join(' ')";
        var well = await WhileSaid(page, "recording", Said, () => page.Locator("#record").TapAsync());
        await Expect(page.Locator("#record-word")).ToHaveTextAsync("Stop, 12:34");
        Assert.True((await page.Locator("#scrub").BoundingBoxAsync())!.Width > 80, "the place in the capture is too short to be dragged");
        Assert.Equal(2,
            await page.EvaluateAsync<int>(
                "new Set([...document.querySelectorAll('#timebar > *')].filter(e => !e.hidden).map(e => { const r = e.getBoundingClientRect(); return "
                + "Math.round((r.top + r.bottom) / 8); })).size"));
        served.Show.Cues = [new("doors", 12.5), new("the long slow end", 3600)];
        await Expect(page.Locator("#cues")).ToBeVisibleAsync();
        Assert.True((await page.Locator("#cues").BoundingBoxAsync())!.Width > 240, "the names of cues are too short to be read");
        Assert.True((await page.Locator("#scrub").BoundingBoxAsync())!.Width > 80, "the place in the capture is too short to be dragged");
        Assert.Equal(390, await page.EvaluateAsync<int>("document.documentElement.scrollWidth"));
        served.Show.Cues = [];
        await Expect(page.Locator("#cues")).ToBeHiddenAsync();
        served.Show.Under = -1;
        var badly = await WhileSaid(page, "no fixture", Said, () => page.Locator("#picture").TapAsync());
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-phone-said") });
        Assert.Equal(("true rgb(32, 38, 42)", "true rgb(58, 22, 17)"), (well, badly));
        served.Show.Under = 0;
        var before = await Eye(page);
        var cdp = await page.Context.NewCDPSessionAsync(page);
        var frame = (await page.Locator("#picture").BoundingBoxAsync())!;
        var y = (int)(frame.Y + (frame.Height / 2));
        await Touch(cdp, "touchStart", 200, y);
        await Touch(cdp, "touchMove", 240, y + 10);
        await Touch(cdp, "touchMove", 290, y + 20);
        await Touch(cdp, "touchEnd");
        Assert.NotEqual(before, await Eye(page));
        var turned = (await Eye(page)).Split(' ').Select(float.Parse).ToArray();
        await Fingers(cdp, "touchStart", (150, y), (230, y));
        await Fingers(cdp, "touchMove", (120, y), (260, y));
        await Fingers(cdp, "touchMove", (90, y), (290, y));
        await Fingers(cdp, "touchEnd");
        var near = (await Eye(page)).Split(' ').Select(float.Parse).ToArray();
        Assert.True(Away(near) < Away(turned) - 3, "two fingers apart go nearer");
        await page.Locator("#picture").TapAsync();
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 1");
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-phone"), FullPage = true });
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData(1440, 900)]
    [InlineData(390, 844)]
    public async Task The_accessibility_checker_finds_nothing_on_any_tab_with_a_fault_a_fight_and_levels_as_if(int width, int height)
    {
        var axe = NodeTools.Module("axe-core", "axe.min.js");
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address, width, height);
        await page.Locator("#picture").ClickAsync();
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 1");
        served.Show.Fault = new RigFault("synthetic.rig.jsonc", 3,
            [new FaultLine("synthetic.rig.jsonc", 42, "$.hangs[3].at", "expected three numbers", "  \"at\": [1, 2")]);
        await Expect(page.GetByRole(AriaRole.Alert)).ToBeVisibleAsync();
        await page.EvaluateAsync(await File.ReadAllTextAsync(axe, TestContext.Current.CancellationToken));
        served.Show.Fight = ([SyntheticShow.OneDesk, Fought], [12, 240, null]);
        served.Show.LookAsIf(["Spot 1"], "Dimmer", .5);
        await Expect(page.Locator("#as-if-box")).ToBeVisibleAsync();
        foreach (var fold in new[] { "#as-if-on", "#hangs" })
        {
            await page.Locator(fold + " summary").ClickAsync();
        }

        await page.Locator("#tab-several").ClickAsync();
        await page.Locator("#several-group").SelectOptionAsync("spots");
        await Expect(page.Locator("#several-ranges table")).ToBeVisibleAsync();
        await page.Locator("#tab-aim").ClickAsync();
        await page.Locator("#aim-form button").ClickAsync();
        await Expect(page.Locator("#aim .way")).ToBeVisibleAsync();
        await page.Locator("#tab-network").ClickAsync();
        await page.Locator("#universes button").First.ClickAsync();
        foreach (var tab in new[] { "fixture", "several", "aim", "network", "cautions", "looks", "notes", "rigfile", "night", "keys" })
        {
            await page.Locator(tab == "keys" ? "#keys-open" : "#tab-" + tab).ClickAsync();
            await FindsNothing(page, tab);
        }

        await page.Context.CloseAsync();
    }

    /// <summary>
    /// Does something and measures the words that stand over the picture then. They go after six seconds, less than a busy machine
    /// may take from one step of a test to the next: the page itself measures them, in the frame that shows them.
    /// </summary>
    /// <param name="page">The page.</param>
    /// <param name="word">What is said.</param>
    /// <param name="measure">The body of a function of <c>s</c>, the element that says it, to a text.</param>
    /// <param name="act">What makes it be said.</param>
    private static async Task<string> WhileSaid(IPage page, string word, string measure, Func<Task> act)
    {
        var seen = page.WaitForFunctionAsync($$"""
            word => { const s = document.getElementById("said"); if (!s.textContent.includes(word)) return null;
              {{measure}}; }
            """, word);
        await act();
        return await (await seen).JsonValueAsync<string>();
    }
}
