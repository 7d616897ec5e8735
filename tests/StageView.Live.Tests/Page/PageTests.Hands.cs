using Microsoft.Playwright;
using StageView.Live.Server;
using StageView.Live.Shown;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>Many hands: who was invited to look changes nothing of others.</summary>
public sealed partial class PageTests
{
    [Fact]
    public async Task One_device_leads_and_invites_another_that_only_looks()
    {
        if (ServedShow.OtherAddress() is not { } address)
        {
            Assert.Skip("this machine has no address beside loopback");
            return;
        }

        using var folder = new TempFolder();
        await using var served = await ServedShow.Start(new LiveServerOptions { Address = address });
        var notes = new NotesTable(folder["synthetic.notes.json"], served.Journal, TimeProvider.System);
        served.Show.OfItsOwn = () => new SyntheticShow { Notes = notes };
        served.Show.Notes = notes;
        await using var leads = new Closing(await browser.Open(served.Server.Invite(DoorRole.Lead).Link));
        var desk = leads.Page;
        await desk.Locator("#keys-open").ClickAsync();
        await desk.Locator("#invite-look").ClickAsync();
        await Expect(desk.Locator("#invited img")).ToBeVisibleAsync();
        Assert.True(await desk.Locator("#invited img").EvaluateAsync<bool>("i => i.decode().then(() => i.naturalWidth > 0)"));
        await desk.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-invited") });
        var link = (await desk.Locator("#invited strong").TextContentAsync())!;
        await desk.EvaluateAsync(await File.ReadAllTextAsync(NodeTools.Module("axe-core", "axe.min.js"), TestContext.Current.CancellationToken));
        await FindsNothing(desk, "an invitation");
        await using var looks = new Closing(await browser.Open(new Uri(link), 390, 844, touch: true));
        var tablet = looks.Page;
        await Expect(tablet.Locator("#record")).ToBeHiddenAsync();
        await tablet.Locator("#captures").SelectOptionAsync("take 1");
        await Expect(tablet.Locator("#lead-words")).ToHaveTextAsync("seen here only");
        await Expect(tablet.Locator("#lead")).ToBeHiddenAsync();

        // What the page hides the server refuses, however it is asked.
        await tablet.Locator("#picture").FocusAsync();
        await tablet.Keyboard.PressAsync("m");
        await Expect(tablet.Locator("#said")).ToContainTextAsync("this device was invited to look");
        await tablet.Keyboard.PressAsync("Shift+R");
        await desk.Keyboard.PressAsync("Escape");
        await Expect(desk.Locator("#keys")).ToBeHiddenAsync();
        await desk.Keyboard.PressAsync("m");
        await Expect(desk.Locator("#line")).ToBeFocusedAsync();
        await desk.Keyboard.TypeAsync("by the one that leads");
        await desk.Keyboard.PressAsync("Enter");
        await tablet.Locator("#tab-notes").ClickAsync();
        await Expect(tablet.Locator("#notes .row")).ToContainTextAsync("by the one that leads");
        await Expect(tablet.Locator("#notes .more")).ToBeHiddenAsync();
        Assert.False(served.Show.Recording);
        Assert.Single(served.Show.Notes.State.Notes);
        Assert.NotEqual(200, await tablet.EvaluateAsync<int>("fetch('/invitation?role=lead').then(r => r.status)"));
    }
}
