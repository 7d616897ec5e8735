using System.Text.Json;
using System.Xml.Linq;
using Microsoft.Playwright;
using StageView.Snapshot.Report;
using StageView.Snapshot.Why;

namespace StageView.Snapshot.Tests.Report;

public sealed class ReportTests(ReportFixture report, Browser browser) : IClassFixture<ReportFixture>, IClassFixture<Browser>
{
    [Fact]
    public void Junit_lists_each_frame_and_fails_those_that_differ()
    {
        var suite = XDocument.Load(Path.Combine(report.Folder, "junit.xml")).Root!.Element("testsuite")!;
        Assert.Equal("9", suite.Attribute("tests")!.Value);
        Assert.Equal("7", suite.Attribute("failures")!.Value);
        Assert.Equal("0", suite.Attribute("errors")!.Value);
        var changed = suite.Elements("testcase").Single(c => c.Attribute("name")!.Value == "cue-001");
        Assert.Equal("Changed", changed.Element("failure")!.Attribute("type")!.Value);
        Assert.Contains("head 2: Pan", changed.Element("failure")!.Value, StringComparison.Ordinal);
    }

    [Fact]
    public void Json_says_the_same()
    {
        using var json = JsonDocument.Parse(File.ReadAllText(Path.Combine(report.Folder, "report.json")));
        Assert.False(json.RootElement.GetProperty("same").GetBoolean());
        Assert.Equal("9 frames: 1 identical, 1 within tolerance, 4 changed, 1 of another size, 1 added, 1 removed",
            json.RootElement.GetProperty("summary").GetString());
    }

    [Fact]
    public void The_page_is_one_file_that_fetches_nothing()
    {
        var html = File.ReadAllText(report.Page);
        Assert.DoesNotContain("src=\"http", html, StringComparison.Ordinal);
        Assert.DoesNotContain("href=\"http", html, StringComparison.Ordinal);
        Assert.Contains("default-src 'none'", html, StringComparison.Ordinal);
    }

    [Fact]
    public async Task It_opens_on_the_frame_that_changed_most_and_says_why()
    {
        var (page, errors) = await Open();
        await Assertions.Expect(page.Locator("#list li")).ToHaveCountAsync(7);
        await Assertions.Expect(page.Locator("#title")).ToHaveTextAsync("Foundry, second night");
        await Assertions.Expect(page.Locator("#wholelist")).ToContainTextAsync("up heads 1 to 4: 50 cm lower, height 8.08 m → 7.58 m (4 fixtures)");
        await Assertions.Expect(page.Locator("#wholelist")).ToContainTextAsync("change 1: starts 0.6 s later: 9.9 s → 10.5 s");
        await Go(page, "cue-001");
        await Assertions.Expect(page.Locator("#causes tbody")).ToContainTextAsync("head 2: Pan -30° → 12.5°");
        await Assertions.Expect(page.Locator("#pane img")).ToHaveCountAsync(2);
        Assert.True(await page.EvaluateAsync<bool>(
            "async () => { for (const i of document.querySelectorAll('#pane img')) await i.decode(); return [...document.querySelectorAll('#pane "
            + "img')].every(i => i.naturalWidth === 640); }"));
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = ReportFixture.Shot("side-light") });
        Assert.Empty(errors);
    }

    [Fact]
    public async Task Keys_change_frame_and_view()
    {
        var (page, errors) = await Open(ColorScheme.Dark);
        var first = await page.Locator("#name").TextContentAsync();
        await page.Keyboard.PressAsync("ArrowRight");
        await Assertions.Expect(page.Locator("#name")).Not.ToHaveTextAsync(first!);
        await page.Keyboard.PressAsync("ArrowLeft");
        await Assertions.Expect(page.Locator("#name")).ToHaveTextAsync(first!);
        await page.Keyboard.PressAsync("4");
        await Assertions.Expect(page.Locator("#pane figcaption")).ToHaveTextAsync(["difference"]);
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = ReportFixture.Shot("difference-dark") });
        await page.Keyboard.PressAsync("Space");
        await Assertions.Expect(page.Locator("#pane figcaption")).ToHaveTextAsync(["base"]);
        await page.Keyboard.PressAsync("Space");
        await Assertions.Expect(page.Locator("#pane figcaption")).ToHaveTextAsync(["new"]);
        await page.Keyboard.PressAsync("+");
        await Assertions.Expect(page.Locator("#lifted")).ToHaveTextAsync("1.5×");
        await page.Keyboard.PressAsync("?");
        await Assertions.Expect(page.Locator("#keylist")).ToBeVisibleAsync();
        await page.Keyboard.PressAsync("t");
        Assert.Equal("light", await page.EvaluateAsync<string>("document.documentElement.dataset.theme"));
        Assert.Empty(errors);
    }

    [Fact]
    public async Task A_wipe_shows_both_sides_of_the_line_and_blink_turns_over()
    {
        var (page, errors) = await Open();
        await Go(page, "cue-003");
        await page.Keyboard.PressAsync("5");
        await page.Locator("#wipe").EvaluateAsync("e => { e.value = 130; e.dispatchEvent(new Event('input')); }");
        Assert.Equal("inset(0px 0px 0px 13%)", await page.Locator("#pane .right").EvaluateAsync<string>("e => getComputedStyle(e).clipPath"));
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = ReportFixture.Shot("wipe-light") });
        await page.Keyboard.PressAsync("6");
        var over = page.Locator("#pane figure").Nth(1);
        await Assertions.Expect(over).ToHaveCSSAsync("visibility", "visible");
        await Assertions.Expect(over).ToHaveCSSAsync("visibility", "hidden");
        Assert.Empty(errors);
    }

    [Fact]
    public async Task Filters_and_search_narrow_the_list()
    {
        var (page, errors) = await Open();
        await page.Locator("#filters button[data-kind=identical]").ClickAsync();
        await Assertions.Expect(page.Locator("#list li")).ToHaveCountAsync(8);
        await page.Locator("#filters button[data-kind=changed]").ClickAsync();
        await Assertions.Expect(page.Locator("#list li")).ToHaveCountAsync(4);
        await page.Locator("#filters button[data-kind=changed]").ClickAsync();
        await page.Keyboard.PressAsync("/");
        await page.Keyboard.TypeAsync("cue-005");
        await Assertions.Expect(page.Locator("#list li")).ToHaveCountAsync(1);
        await Assertions.Expect(page.Locator("#name")).ToHaveTextAsync("cue-005 <b>&amp;");
        await page.Keyboard.TypeAsync("nothing like it");
        await Assertions.Expect(page.Locator("#nothing")).ToBeVisibleAsync();
        Assert.Empty(errors);
    }

    [Fact]
    public async Task It_fits_a_phone()
    {
        var page = await browser.Open(report.Page, 390, 844, phone: true, scheme: ColorScheme.Dark);

        // The picture is seen at once; what else there is lies below.
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = ReportFixture.Shot("phone-dark-opened") });
        Assert.InRange(await page.Locator("#pane img").First.EvaluateAsync<double>("async e => { await e.decode(); return e.getBoundingClientRect().bottom; }"),
            100, 844);
        Assert.True(await page.EvaluateAsync<bool>(
            "document.getElementById('list').getBoundingClientRect().top > document.getElementById('pane').getBoundingClientRect().bottom"));
        await Go(page, "cue-001");
        Assert.True(await page.EvaluateAsync<bool>("document.documentElement.scrollWidth <= document.documentElement.clientWidth"));
        await page.Locator("#views button[data-view=wipe]").TapAsync();
        await Assertions.Expect(page.Locator("#wipe")).ToBeVisibleAsync();
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = ReportFixture.Shot("phone-dark"), FullPage = true });
    }

    [Fact]
    public async Task On_a_phone_the_page_stays_where_it_is_while_views_change()
    {
        var page = await browser.Open(report.Page, 390, 844, phone: true);
        await page.Locator("#list li").Filter(new LocatorFilterOptions { HasText = "cue-003" }).TapAsync();
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = ReportFixture.Shot("phone-light-tapped") });
        var heading = await page.Locator("#framehead").EvaluateAsync<double>("e => e.getBoundingClientRect().top");
        Assert.InRange(heading, -1, 40);
        await page.EvaluateAsync("scrollTo(0, document.documentElement.scrollHeight)");
        var before = await page.EvaluateAsync<double>("scrollY");
        Assert.True(before > 100);
        foreach (var (view, n) in new[] { ("base", 1), ("difference", 1), ("wipe", 2) })
        {
            await page.Locator($"#views button[data-view={view}]").DispatchEventAsync("click");
            await Assertions.Expect(page.Locator("#pane figure")).ToHaveCountAsync(n);
            // A view that is less high leaves the page shorter; no further up than that.
            Assert.True(await page.EvaluateAsync<bool>("b => Math.abs(scrollY - Math.min(b, document.documentElement.scrollHeight - innerHeight)) < 2",
                before));
        }
    }

    [Fact]
    public async Task The_list_follows_the_chosen_frame()
    {
        var page = await browser.Open(report.Page, 390, 844, phone: true);
        await page.Locator("#list").EvaluateAsync("e => e.style.maxHeight = '6rem'");
        const string Seen =
            "e => { const l = document.getElementById('list').getBoundingClientRect(), r = e.getBoundingClientRect(); return r.top >= l.top - 1 && r.bottom "
            + "<= l.bottom + 1; }";
        foreach (var key in Enumerable.Repeat("ArrowRight", 6).Concat(Enumerable.Repeat("ArrowLeft", 6)))
        {
            await page.Keyboard.PressAsync(key);
            Assert.True(await page.Locator("#list li[aria-current=true]").EvaluateAsync<bool>(Seen));
        }
    }

    [Fact]
    public async Task Real_pixels_has_a_button_and_the_wipe_is_cut_where_its_line_stands()
    {
        var (page, errors) = await Open();
        await Go(page, "cue-003");
        await page.Locator("#views button[data-view=wipe]").ClickAsync();
        await page.SetViewportSizeAsync(800, 850);
        await page.Locator("#real").ClickAsync();
        await Assertions.Expect(page.Locator("#real")).ToHaveAttributeAsync("aria-pressed", "true");
        Assert.Equal(640, await page.Locator("#pane .right img")
            .EvaluateAsync<double>("async e => { await e.decode(); return e.getBoundingClientRect().width; }"));
        var off = await page.EvaluateAsync<double>(
            "() => { const f = document.querySelector('#pane .right').getBoundingClientRect(), e = document.querySelector('#pane "
            + ".edge').getBoundingClientRect(); return Math.abs(f.left + f.width / 2 - (e.left + 1)) + Math.abs(f.height - e.height); }");
        Assert.InRange(off, 0, 1.5);
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = ReportFixture.Shot("wipe-real") });
        await page.Keyboard.PressAsync("p");
        await Assertions.Expect(page.Locator("#real")).ToHaveAttributeAsync("aria-pressed", "false");
        Assert.Empty(errors);
    }

    [Fact]
    public async Task The_legend_stands_only_under_a_difference()
    {
        var (page, errors) = await Open(ColorScheme.Dark);
        await page.Keyboard.PressAsync("4");
        await Go(page, "cue-001");
        await Assertions.Expect(page.Locator("#legend")).ToContainTextAsync("amber");
        await Go(page, "only-after");
        await Assertions.Expect(page.Locator("#pane .none")).ToHaveTextAsync("no difference picture");
        await Assertions.Expect(page.Locator("#legend")).ToHaveTextAsync("");
        await Assertions.Expect(page.Locator("#summary")).ToHaveTextAsync(new System.Text.RegularExpressions.Regex(@"· base: \S+base, new: \S+new$"));
        Assert.Equal(await page.Locator("#summary").EvaluateAsync<string>("e => getComputedStyle(e).color"),
            await page.Locator("#find").EvaluateAsync<string>("e => getComputedStyle(e, '::placeholder').color"));
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = ReportFixture.Shot("no-difference-dark") });
        Assert.Empty(errors);
    }

    /// <summary>A page that may hold next to nothing: pictures are scaled down, then only told, and lie whole beside it.</summary>
    [Fact]
    public async Task The_page_stays_small_and_whole_pictures_lie_beside_it()
    {
        using var temp = new TempFolder();
        var file = ReportWriter.Write(report.Result, temp.Path, new ReportOptions { PictureBytes = 0, PreviewBytes = 1 });
        Assert.InRange(new FileInfo(file).Length, 1000, 120_000);
        var whole = Directory.GetFiles(Path.Combine(temp.Path, "pictures"));
        Assert.Contains(whole, f => new FileInfo(f).Length == new FileInfo(report.Result.Frames.First(r => r.IsDifference).BaseFile!).Length);
        var page = await browser.Open(file);
        await Go(page, "cue-001");
        await Assertions.Expect(page.Locator("#pane figcaption a").First).ToHaveAttributeAsync("href",
            new System.Text.RegularExpressions.Regex(@"^pictures/b\d+\.png$"));
        await Go(page, "cue-003");
        await Assertions.Expect(page.Locator("#pane .none").First).ToContainTextAsync("lies beside this page: pictures/b");
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = ReportFixture.Shot("beside-light") });
    }

    [Fact]
    public void The_summary_for_a_services_page_says_what_and_why_and_no_name_can_break_it()
    {
        var text = File.ReadAllText(Path.Combine(report.Folder, "summary.md"));
        Assert.StartsWith("## Foundry, second night\n\n9 frames: 1 identical", text, StringComparison.Ordinal);
        Assert.Contains("- up heads 1 to 4: 50 cm lower, height 8.08 m → 7.58 m (4 fixtures)\n", text, StringComparison.Ordinal);
        Assert.Matches(@"\| cue-001 \| 10\.2 s \| changed: .* \| .*head 2: Pan -30° → 12\.5°|\| cue-001 \| 10\.2 s \| changed: .* \| change 1", text);
        Assert.Contains("cue-005 &lt;b&gt;&amp;amp;", text, StringComparison.Ordinal);
        Assert.DoesNotContain("<b>", text, StringComparison.Ordinal);
    }

    [Fact]
    public void What_many_fixtures_do_alike_is_one_line()
    {
        Cause[] causes =
        [
            .. Enumerable.Range(1, 6).Select(i => new Cause
            {
                Kind = CauseKind.Attribute, Subject = $"down head {i}", What = "Dimmer", Before = "80 %", After = "60 %", Share = i / 10.0,
            }),
            new() { Kind = CauseKind.Attribute, Subject = "wash 1", What = "Dimmer", Before = "80 %", After = "50 %" },
        ];
        Assert.Equal(["down heads 1 to 6: Dimmer 80 % → 60 % (6 fixtures)", "wash 1: Dimmer 80 % → 50 %"], CauseFold.Of(causes).Select(c => c.Text));
        Assert.Equal(.6, CauseFold.Of(causes)[0].Share);
    }

    private static Task Go(IPage page, string name) =>
        page.Locator("#list li").Filter(new LocatorFilterOptions { HasText = name }).ClickAsync();

    private async Task<(IPage Page, List<string> Errors)> Open(ColorScheme scheme = ColorScheme.Light)
    {
        var page = await browser.Open(report.Page, scheme: scheme);
        var errors = new List<string>();
        page.PageError += (_, e) => errors.Add(e);
        page.Console += (_, m) => errors.AddRange(m.Type == "error" ? [m.Text] : []);
        await page.ReloadAsync();
        return (page, errors);
    }
}
