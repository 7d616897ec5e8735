using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace StageView.App.Tests.Live;

/// <summary>The real command in a group with a station of another hand, a console and a browser.</summary>
[Collection(LiveMachine.Name)]
public sealed class GroupNightTests(Browser browser)
{
    [Fact]
    public async Task A_commit_is_taken_while_the_show_runs_and_view_and_levels_stay()
    {
        using var folder = new TempFolder();
        var rig = folder.File("show.rig.jsonc", DrawnRig.Text);
        string Mvr(string name, string office)
        {
            var export = CommandRun.Of("export", folder.File(name + ".rig.jsonc", office), "--out", folder[name + ".mvr"]);
            Assert.Equal(0, export.ExitCode);
            return folder[name + ".mvr"];
        }

        var (sacn, names) = (FreePort.Udp(), FreePort.Udp());
        using var desk = new Desk(sacn);
        using var peer = new ExchangePeer("tour", names);
        await using var live = await LiveProcess.Start(rig, null, "--sacn-port", $"{sacn}", "--artnet-port", $"{FreePort.Udp()}", "--group", "tour",
            "--names-port", $"{names}");
        await live.SaysWithin("joined \"tour\"");
        Assert.Contains("Nothing is encrypted", live.Said, StringComparison.Ordinal);
        peer.Finds(1);
        var page = await browser.Open(live.Address, 1280, 800);
        await page.Locator("#tab-group").ClickAsync();
        await Expect(page.Locator("#stations")).ToContainTextAsync("test peer");

        // Heard, and nothing is taken; shown, and still nothing is taken.
        peer.Ask($"commit {Mvr("first", DrawnRig.Office(3, 4, "1.1"))} three heads");
        await Expect(page.Locator("#commits")).ToContainTextAsync("three heads");
        await Expect(page.Locator("#group-count")).ToHaveTextAsync("1");
        await page.GetByRole(AriaRole.Button, new() { Name = "What would it change?" }).ClickAsync();
        await Expect(page.Locator("#commits")).ToContainTextAsync("is new");
        await Expect(page.Locator("#commits")).ToContainTextAsync("head 2");
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("group-look") });
        Assert.Equal("{}", (await File.ReadAllLinesAsync(folder["drawing/drawing.rig.jsonc"], TestContext.Current.CancellationToken))[1]);
        await page.GetByRole(AriaRole.Button, new() { Name = "Take it" }).ClickAsync();
        await Expect(page.Locator("#commits")).ToContainTextAsync("taken");
        await live.SaysWithin("ms: 3 fixtures");

        // The console's levels (200 in both bytes is 200 × 257), a head that is picked, and a view of one's own.
        desk.Set(1, [.. Enumerable.Range(1, 30).Select(a => (a, 200))]);
        await page.Locator("#tab-fixture").ClickAsync();
        await page.Locator("#find").FillAsync("head 1");
        await page.Locator("#found button").First.ClickAsync();
        await Expect(page.Locator("#levels tr").Filter(new() { HasText = "Dimmer" })).ToContainTextAsync("51400");
        await page.Locator("#picture").FocusAsync();
        for (var i = 0; i < 4; i++)
        {
            await page.Keyboard.PressAsync("ArrowLeft");
        }

        await Browser.BrightnessBecomes(page, b => b > .2);
        var ring = page.Locator("#marks .ring").First;
        async Task<string> Eye() => $"{await ring.GetAttributeAsync("cx")} {await ring.GetAttributeAsync("cy")} "
            + await page.Locator("#cameras").InputValueAsync() + " " + await page.Locator("#exposure-is").TextContentAsync();
        var eye = await Eye();

        // Another commit: a head less. It is taken; the head that is gone is gone, everything else stays as it was.
        peer.Ask($"commit {Mvr("second", DrawnRig.Office(2, 4, "1.1"))} two heads");
        await page.Locator("#tab-group").ClickAsync();
        await Expect(page.Locator("#commits > li").First).ToContainTextAsync("two heads");
        await page.Locator("#commits > li").First.GetByRole(AriaRole.Button, new() { Name = "What would it change?" }).ClickAsync();
        await Expect(page.Locator("#commits > li").First).ToContainTextAsync("fixture head 3 is gone");
        await page.Locator("#commits > li").First.GetByRole(AriaRole.Button, new() { Name = "Take it" }).ClickAsync();
        await Expect(page.Locator("#commits > li").First).ToContainTextAsync("taken");
        await live.SaysWithin("ms: 2 fixtures");
        await page.Locator("#tab-fixture").ClickAsync();
        await page.Locator("#find").FillAsync("head");
        await Expect(page.Locator("#found button")).ToHaveCountAsync(2);
        await Expect(page.Locator("#levels tr").Filter(new() { HasText = "Dimmer" })).ToContainTextAsync("51400");
        Assert.Equal(eye, await Eye());
        Assert.Equal(DrawnRig.Text, await File.ReadAllTextAsync(rig, TestContext.Current.CancellationToken));

        // And the rig goes out to the group, with what was taken in it.
        await page.Locator("#tab-group").ClickAsync();
        await page.Locator("#commit-is").FillAsync("from the show");
        await page.Locator("#commit-form button").ClickAsync();
        await live.SaysWithin("group     committed");
        var commit = peer.Ask("commits").GetProperty("commits").EnumerateObject().Single(c => c.Value.GetProperty("comment").GetString() == "from the show");
        Assert.Equal(1, peer.Ask($"take {commit.Name} {folder["ours.mvr"]}").GetProperty("kind").GetInt32());
        var import = CommandRun.Of("import", folder["ours.mvr"], "--out", folder["ours"]);
        Assert.Contains("2 fixtures", import.Output, StringComparison.Ordinal);
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("group-taken") });
        await page.Context.CloseAsync();
    }
}
