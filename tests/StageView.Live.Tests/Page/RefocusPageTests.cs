using System.Globalization;
using System.Numerics;
using System.Text.Json;
using System.Text.RegularExpressions;
using Microsoft.Playwright;
using StageView.Show.Refocus;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>The page's list of positions in another venue, over a real answer.</summary>
[Collection(LiveMachine.Name)]
public sealed partial class RefocusPageTests(Browser browser) : IDisposable
{
    private readonly SmallTour _tour = new();

    public void Dispose() => _tour.Dispose();

    [Fact]
    public async Task The_rows_are_those_of_the_answer_worst_first_and_are_chosen_by_state_hang_and_cue()
    {
        var answer = _tour.Request.Work().Answer;
        Assert.Equal([RefocusState.NotThere, RefocusState.Obstructed, RefocusState.Moved, RefocusState.Moved, RefocusState.Moved],
            answer.Rows.Select(r => r.State));
        await using var live = await _tour.Live();
        var page = await Open(live);
        var rows = page.Locator("#refocus-rows > li");
        await Expect(rows).ToHaveCountAsync(5);
        Assert.Equal(answer.Rows.Select(r => $"{r.Fixture} ({r.FixtureNumber}) · position {r.Position} · {r.Cues[0]}"),
            await rows.Locator("button > span:first-child").AllTextContentsAsync());
        Assert.Equal(["✕ not there", "▲ obstructed", "● moved", "● moved", "● moved"], await rows.Locator(".state").AllTextContentsAsync());

        // By hand: the axes of the head at (-3, 0) cross at 8 - .52 m, its spot on the floor is 5 m upstage and 1 m aside; a metre lower it is steeper.
        var aside = Math.Sqrt(26);
        var (was, now) = (Math.Atan2(aside, 7.48) * 180 / Math.PI, Math.Atan2(aside, 6.48) * 180 / Math.PI);
        var degrees = await rows.Filter(new() { HasText = "head 1 (1) · position 1" }).Locator(".number").TextContentAsync();
        var tilt = Degrees().Match(degrees!.Replace('−', '-')[degrees.IndexOf("tilt", StringComparison.Ordinal)..]);
        Assert.Equal([was, now, now - was], Enumerable.Range(1, 3).Select(i => Math.Abs(double.Parse(tilt.Groups[i].Value, CultureInfo.InvariantCulture))),
            (a, b) => Math.Abs(a - b) < .011);

        await page.Locator("#refocus-by-state").SelectOptionAsync("moved");
        await Expect(page.Locator("#refocus-shown")).ToHaveTextAsync("3 of 5 positions, the worst first");
        await Expect(rows).ToHaveCountAsync(3);
        await page.Locator("#refocus-by-use").SelectOptionAsync("two");
        await Expect(rows).ToHaveCountAsync(1);
        await Expect(rows).ToContainTextAsync("head 1");
        await page.Locator("#refocus-by-hang").SelectOptionAsync(new SelectOptionValue { Label = "boom" });
        await Expect(page.Locator("#refocus-shown")).ToHaveTextAsync("No position fits.");
        await page.Locator("#refocus-by-state").SelectOptionAsync("");
        await page.Locator("#refocus-by-use").SelectOptionAsync("pos:1");
        await Expect(rows).ToContainTextAsync("side");
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task The_axes_lie_where_the_answer_has_them_and_the_fixture_is_picked()
    {
        var row = _tour.Request.Work().Answer.Rows.Single(r => r.Fixture == "head 2");
        Assert.Equal((3, 3), (row.Anchor.Way.Count, row.Way.Count));
        await using var live = await _tour.Live();
        var page = await Open(live);
        await Expect(page.Locator("#cameras")).ToHaveValueAsync("rig:house");
        await Choose(page, "head 2 (2)");
        await Expect(page.Locator("#marks path.is")).ToHaveCountAsync(1);
        var size = await page.EvaluateAsync<float[]>("(() => { const c = document.getElementById('picture'); return [c.clientWidth, c.clientHeight]; })()");
        await Same(page, "was", row.Anchor.Way, size);
        await Same(page, "is", row.Way, size);
        Assert.NotEqual("none", await page.EvaluateAsync<string>("getComputedStyle(document.querySelector('#marks path.was')).strokeDasharray"));
        Assert.Equal("none", await page.EvaluateAsync<string>("getComputedStyle(document.querySelector('#marks path.is:not(.casing)')).strokeDasharray"));
        Assert.Equal(["head 2, position 1: moved", "as it was", "as it is to be in Low hall"], await page.Locator("#axes span").AllTextContentsAsync());
        await Expect(page.Locator("#marks text").Filter(new() { HasText = "head 2" })).ToHaveCountAsync(1);
        await Expect(page.Locator("#aim-who")).ToHaveTextAsync("for head 2");
        await Expect(page.Locator("#panel-refocus")).ToBeVisibleAsync();
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("refocus-axes") });

        // One that isn't there has only where it was; with another fixture picked, or by Escape, the axes go.
        await Choose(page, "side (4)");
        await Expect(page.Locator("#axes")).ToContainTextAsync("side, position 1: not there");
        await Expect(page.Locator("#marks path.axis.was")).ToHaveCountAsync(1);
        await Expect(page.Locator("#marks path.axis.is")).ToHaveCountAsync(0);
        await page.Keyboard.PressAsync("Escape");
        await Expect(page.Locator("#axes")).ToBeHiddenAsync();
        await Expect(page.Locator("#marks path.axis")).ToHaveCountAsync(0);
        await Choose(page, "head 3 (3)");
        await Expect(page.Locator("#axes")).ToContainTextAsync("head 3");
        await page.Locator("#picture").FocusAsync();
        await page.Keyboard.PressAsync("p");
        await Expect(page.Locator("#axes")).ToBeHiddenAsync();
        await Expect(page.Locator("#refocus-rows [aria-expanded=true]")).ToHaveCountAsync(0);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task What_is_behind_the_eye_is_cut_off_the_axes()
    {
        await using var live = await _tour.Live();
        var page = await Open(live);
        var points = await page.EvaluateAsync<float[][]>("""
            import("/camera.js").then(({ Camera }) => Camera.from([0, 0, 1], [0, 1, 1], 90, 7).segment([0, 10, 1], [10, -10, 1], 2))
            """);
        // The line crosses the plane .1 m before the eye at x = 4.95; at 90 degrees and twice as wide as high half the picture is .2 m wide there.
        Assert.Equal([.5f, .5f], points[0], (a, b) => MathF.Abs(a - b) < 1e-4f);
        Assert.Equal([.5f + (4.95f / .2f / 2), .5f], points[1], (a, b) => MathF.Abs(a - b) < 1e-3f);
        Assert.Null(await page.EvaluateAsync<float[][]?>("""
            import("/camera.js").then(({ Camera }) => Camera.from([0, 0, 1], [0, 1, 1], 90, 7).segment([0, -1, 1], [10, -10, 1], 2))
            """));
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Ticks_are_seen_by_every_page_and_kept_over_a_restart()
    {
        await using (var live = await _tour.Live())
        {
            var (page, other) = (await Open(live), await Open(live));
            await Expect(page.Locator("#refocus-done")).ToHaveTextAsync("0 of 5 done");
            await Expect(page.Locator("#refocus-count")).ToHaveTextAsync("5");
            await page.Locator("#refocus-by").FillAsync("A. Rigger");
            await Box(page, "head 2, position 1").CheckAsync();
            await Expect(Box(other, "head 2, position 1")).ToBeCheckedAsync();
            await Expect(other.Locator("#refocus-done")).ToHaveTextAsync("1 of 5 done");
            await Expect(Row(other, "head 2 (2)")).ToContainTextAsync("by A. Rigger");

            // All of a fixture at once, from the other page; one of them taken back.
            await Choose(other, "head 1 (1) · position 1");
            await other.GetByRole(AriaRole.Button, new() { Name = "All 2 of head 1 are focused" }).ClickAsync();
            await Expect(page.Locator("#refocus-done")).ToHaveTextAsync("3 of 5 done");
            await Expect(page.Locator("#refocus-count")).ToHaveTextAsync("2");
            await Box(page, "head 1, position 2").UncheckAsync();
            await Expect(other.Locator("#refocus-done")).ToHaveTextAsync("2 of 5 done");
            await Expect(Box(other, "head 1, position 2")).Not.ToBeCheckedAsync();
            await page.Locator("#refocus-todo").CheckAsync();
            await Expect(page.Locator("#refocus-shown")).ToHaveTextAsync("3 of 5 positions, the worst first");
            await page.Context.CloseAsync();
            await other.Context.CloseAsync();
        }

        Assert.Equal(["head 2", "head 1"], FocusFile.Read(_tour.Ticks).Select(t => t.Fixture));
        await using var again = await _tour.Live();
        var later = await Open(again);
        await Expect(later.Locator("#refocus-done")).ToHaveTextAsync("2 of 5 done");
        await Expect(Box(later, "head 2, position 1")).ToBeCheckedAsync();
        await Expect(Row(later, "head 2 (2)")).ToContainTextAsync("by A. Rigger");
        await Expect(Box(later, "head 1, position 2")).Not.ToBeCheckedAsync();
        await later.Context.CloseAsync();
    }

    [Fact]
    public async Task A_saved_venue_is_worked_out_anew_and_drops_the_ticks_whose_values_changed_with_a_word()
    {
        await using var live = await _tour.Live();
        var page = await Open(live);
        await Box(page, "head 2, position 1").CheckAsync();
        await Box(page, "side, position 1").CheckAsync();
        await Expect(page.Locator("#refocus-done")).ToHaveTextAsync("2 of 5 done");
        await Choose(page, "head 2 (2)");
        await Expect(page.Locator("#marks path.is")).ToHaveCountAsync(1);
        var old = (await page.Locator("#marks path.is").GetAttributeAsync("d"))!;

        // A hundredth of a millimetre is less than a step of the axis (540 degrees over 65,535 at 10 m is 1.4 mm).
        _tour.Lower("-1.00001");
        await Until(() => live.Refocus is { Version: 2, Working: false });
        Assert.Equal(2, live.Refocus.Done);

        _tour.Lower("-1.5");
        await Expect(Row(page, "head 2 (2)")).ToContainTextAsync("again: ");
        await Expect(Row(page, "head 2 (2)")).ToContainTextAsync("tilt is ");
        await Expect(Box(page, "head 2, position 1")).Not.ToBeCheckedAsync();
        await Expect(Box(page, "side, position 1")).ToBeCheckedAsync();
        await Expect(page.Locator("#refocus-done")).ToHaveTextAsync("1 of 5 done");
        await Expect(page.Locator("#refocus-dropped li")).ToContainTextAsync("head 2, position 1 (on floor by way of panel), ticked");
        Assert.Contains("a tick counts no longer: head 2, position 1", live.Journal.ToText(), StringComparison.Ordinal);

        // The row that stands in the picture stays, with its new axis.
        await Expect(page.Locator("#marks path.is")).Not.ToHaveAttributeAsync("d", old);
        await Expect(page.Locator("#axes")).ToContainTextAsync("head 2");

        // What can't be read leaves the answer standing, and is said; where the values come back, so does the tick.
        _tour.Lower("low");
        await Expect(page.Locator("#refocus-state")).ToContainTextAsync("low.venue.jsonc saved at");
        await Expect(page.Locator("#refocus-state")).ToContainTextAsync("✕ ");
        await Expect(page.Locator("#refocus-rows > li")).ToHaveCountAsync(5);
        _tour.Lower("-1");
        await Expect(page.Locator("#refocus-done")).ToHaveTextAsync("2 of 5 done");
        await Expect(page.Locator("#refocus-state")).ToHaveTextAsync("");
        await Expect(page.Locator("#refocus-dropped li")).ToHaveCountAsync(0);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Without_a_show_the_panel_says_what_to_give()
    {
        await using var live = await _tour.Live(refocus: false);
        var page = await browser.Open(live.Server.Address, 1280, 800);
        await page.Locator("#tab-refocus").ClickAsync();
        await Expect(page.Locator("#refocus-words")).ToContainTextAsync("--refocus SHOW.pcapng");
        await Expect(page.Locator("#refocus-words")).ToContainTextAsync("--venue TODAY.venue.jsonc");
        await Expect(page.Locator("#refocus-body")).ToBeHiddenAsync();
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_file_of_ticks_that_cannot_be_read_is_said_and_not_written_over()
    {
        await File.WriteAllTextAsync(_tour.Ticks, "{\n  \"ticks\": [{}] }", TestContext.Current.CancellationToken);
        await using var live = await _tour.Live();
        var page = await Open(live);
        await Expect(page.Locator("#refocus-state")).ToContainTextAsync("small.low.focused.json:2: $.ticks[0]");
        await Box(page, "head 2, position 1").ClickAsync();
        await Expect(page.Locator("#said")).ToContainTextAsync("nothing is ticked");
        await Expect(Box(page, "head 2, position 1")).Not.ToBeCheckedAsync();
        Assert.Contains("[{}]", await File.ReadAllTextAsync(_tour.Ticks, TestContext.Current.CancellationToken), StringComparison.Ordinal);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Rows_are_reached_and_ticked_by_keys_and_the_focus_stays()
    {
        await using var live = await _tour.Live();
        var page = await Open(live);
        await page.Locator("#refocus-rows button.row").First.FocusAsync();
        await page.Keyboard.PressAsync("ArrowDown");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("#axes")).ToContainTextAsync("head 3, position 1: obstructed");
        await page.Keyboard.PressAsync("Shift+Tab");
        await page.Keyboard.PressAsync("ArrowDown");
        await Expect(Box(page, "head 1, position 1")).ToBeFocusedAsync();
        await page.Keyboard.PressAsync("Space");
        await Expect(page.Locator("#refocus-done")).ToHaveTextAsync("1 of 5 done");
        await Expect(Box(page, "head 1, position 1")).ToBeFocusedAsync();

        // With what is done out of the list the next row takes the focus over.
        await page.Locator("#refocus-todo").CheckAsync();
        await Box(page, "head 3, position 1").FocusAsync();
        await page.Keyboard.PressAsync("Space");
        await Expect(page.Locator("#refocus-rows > li")).ToHaveCountAsync(3);
        await Expect(Box(page, "head 1, position 2")).ToBeFocusedAsync();
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData(1440, 900)]
    [InlineData(1024, 768)]
    [InlineData(390, 844)]
    public async Task Nothing_is_cut_at_any_size_and_the_accessibility_checker_finds_nothing(int width, int height)
    {
        var axe = NodeTools.Module("axe-core", "axe.min.js");
        await using var live = await _tour.Live();
        var page = await browser.Open(live.Server.Address, width, height, touch: width < 1000);
        await page.Locator("#tab-refocus").ClickAsync();
        await Expect(page.Locator("#refocus-rows > li").First).ToContainTextAsync("side");
        if (width < 1000)
        {
            await Box(page, "head 2, position 1").TapAsync();
            await Row(page, "head 2 (2)").Locator("button.row").TapAsync();
        }
        else
        {
            await Box(page, "head 2, position 1").ClickAsync();
            await Choose(page, "head 2 (2)");
        }

        await Expect(page.Locator("#refocus-done")).ToHaveTextAsync("1 of 5 done");
        await Expect(page.Locator("#axes")).ToContainTextAsync("head 2");
        Assert.Equal(width, await page.EvaluateAsync<int>("document.documentElement.scrollWidth"));
        Assert.Empty(await page.EvaluateAsync<string[]>("""
            () => [...document.querySelectorAll("#panel-refocus *, #axes, #axes *")].filter(e => e.offsetParent && e.scrollWidth > e.clientWidth + 1
              && getComputedStyle(e).display !== "inline").map(e => e.id || e.textContent)
            """));
        Assert.Empty(await page.EvaluateAsync<string[]>("""
            () => [...document.querySelectorAll("#panel-refocus :is(button, select, .tick, input[type=text])")].filter(e => e.offsetParent
              && (e.offsetHeight < 32 || e.offsetWidth < 32)).map(e => e.id || e.textContent)
            """));
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot($"refocus-{width}"), FullPage = true });
        await page.EvaluateAsync(await File.ReadAllTextAsync(axe, TestContext.Current.CancellationToken));
        var found = await page.EvaluateAsync<JsonElement>("""
            async () => (await axe.run(document, { resultTypes: ["violations"] })).violations.map(v => v.id + ": " + v.nodes.map(n => n.target + " "
              + n.failureSummary).join("; "))
            """);
        Assert.True(found.GetArrayLength() == 0, found.ToString());
        if (width < 500)
        {
            // Below the picture a row has a way back to it.
            await page.GetByRole(AriaRole.Button, new() { Name = "Look there" }).TapAsync();
            await Expect(page.Locator("#picture")).ToBeInViewportAsync(new() { Ratio = .9f });
            await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("refocus-phone-look") });
        }

        await page.Context.CloseAsync();
    }

    private async Task<IPage> Open(SmallTour.Running live)
    {
        var page = await browser.Open(live.Server.Address, 1280, 800);
        await page.Locator("#tab-refocus").ClickAsync();
        await Expect(page.Locator("#refocus-rows > li").First).ToContainTextAsync("side");
        return page;
    }

    private static ILocator Row(IPage page, string text) => page.Locator("#refocus-rows > li").Filter(new() { HasText = text });

    private static ILocator Box(IPage page, string name) => page.GetByRole(AriaRole.Checkbox, new() { Name = name + " is focused" });

    private static Task Choose(IPage page, string text) => Row(page, text).Locator("button.row").ClickAsync();

    private static async Task Until(Func<bool> holds)
    {
        var from = TimeProvider.System.GetTimestamp();
        while (!holds())
        {
            Assert.True(TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromSeconds(60), "it never came about");
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }
    }

    /// <summary>Whether a line of the picture goes through those points as the house camera sees them, within a pixel.</summary>
    private static async Task Same(IPage page, string name, IReadOnlyList<Vector3> way, float[] size)
    {
        var drawn = Numbers().Matches((await page.Locator($"#marks path.axis.{name}").GetAttributeAsync("d"))!)
            .Select(m => float.Parse(m.Value, CultureInfo.InvariantCulture)).Chunk(2).ToList();
        Assert.Equal(2 * (way.Count - 1), drawn.Count);
        for (var k = 0; k + 1 < way.Count; k++)
        {
            Assert.Equal(Pixel(way[k], size), drawn[2 * k], (a, b) => MathF.Abs(a - b) < 1);
            Assert.Equal(Pixel(way[k + 1], size), drawn[(2 * k) + 1], (a, b) => MathF.Abs(a - b) < 1);
        }
    }

    /// <summary>A pinhole at (0, -14, 4) that looks at (0, 3, 3), 50 degrees from top to bottom.</summary>
    private static float[] Pixel(Vector3 point, float[] size)
    {
        var projected = Vector4.Transform(new Vector4(point, 1), Matrix4x4.CreateLookAt(new(0, -14, 4), new(0, 3, 3), Vector3.UnitZ)
            * Matrix4x4.CreatePerspectiveFieldOfView(50 * MathF.PI / 180, size[0] / size[1], .1f, 500));
        return [size[0] * (.5f + (projected.X / projected.W / 2)), size[1] * (.5f - (projected.Y / projected.W / 2))];
    }

    [GeneratedRegex(@"(-?[\d.]+)° → (-?[\d.]+)° \(([-+]?[\d.]+)°\)")]
    private static partial Regex Degrees();

    [GeneratedRegex(@"-?[\d.]+(e-\d+)?")]
    private static partial Regex Numbers();
}
