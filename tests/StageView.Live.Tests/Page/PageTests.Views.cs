using StageView.Live.Shown;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>Views of the page: saved ones, cameras, and how bright they are.</summary>
public sealed partial class PageTests
{
    [Fact]
    public async Task A_view_is_saved_by_name_for_all_devices()
    {
        using var folder = new TempFolder();
        await using var served = await ServedShow.Start();
        served.Show.Notes = new NotesTable(folder["synthetic.notes.json"], served.Journal, TimeProvider.System);
        var (page, other) = (await browser.Open(served.Server.Address), await browser.Open(served.Server.Address, 390, 844, touch: true));
        await page.Locator("#picture").FocusAsync();
        await page.Keyboard.PressAsync("ArrowRight");
        await page.Keyboard.PressAsync("+");
        var saved = await Eye(page);
        await Tool(page, "#camera-save");
        await Expect(page.Locator("#line")).ToHaveValueAsync("view 1");
        await page.Locator("#line").FillAsync("from the desk");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("#said")).ToHaveTextAsync("from the desk is saved, for all devices");
        await Expect(page.Locator("#cameras")).ToHaveValueAsync("own:from the desk");
        Assert.Equal(saved, await Eye(page));

        // The other device has it, by the next key after the rig's own; what it forgets, all forget.
        await Expect(other.Locator("#cameras option")).ToHaveTextAsync(["1  house", "2  from the left", "3  from the desk (saved)"]);
        Assert.NotEqual(saved, await Eye(other));
        await other.Locator("#picture").FocusAsync();
        await other.Keyboard.PressAsync("3");
        await Expect(other.Locator("#cameras")).ToHaveValueAsync("own:from the desk");
        Assert.Equal(saved, await Eye(other));
        await Tool(other, "#camera-drop");
        await Expect(page.Locator("#cameras option")).ToHaveTextAsync(["turned by hand", "1  house", "2  from the left"]);
        await Expect(page.Locator("#camera-drop")).ToBeHiddenAsync();
        await other.Context.CloseAsync();
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_camera_is_called_again_after_the_view_was_turned_by_hand()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        var cameras = page.Locator("#cameras");
        await Expect(cameras).ToHaveValueAsync("rig:house");
        var house = await Eye(page);
        foreach (var turn in new Func<Task>[] { () => page.Keyboard.PressAsync("ArrowLeft"), () => page.Keyboard.PressAsync("+"),
            () => page.Mouse.WheelAsync(0, 200), () => page.Mouse.DownAsync() })
        {
            await page.Locator("#picture").FocusAsync();
            await page.Mouse.MoveAsync(300, 300);
            await turn();
            await page.Mouse.MoveAsync(360, 320);
            await Expect(cameras).ToHaveValueAsync("hand");
            Assert.Equal("turned by hand", await cameras.EvaluateAsync<string>("s => s.selectedOptions[0].text"));
            Assert.NotEqual(house, await Eye(page));
            await cameras.SelectOptionAsync("rig:house");
            await Expect(cameras.Locator("option")).ToHaveCountAsync(2);
            Assert.Equal(house, await Eye(page));
        }

        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task To_the_right_the_exposure_is_brighter()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        var (slider, says) = (page.Locator("#exposure"), page.Locator("#exposure-is"));
        await Expect(says).ToHaveTextAsync("EV 7.0");
        await slider.FocusAsync();
        await page.Keyboard.PressAsync("ArrowRight");
        await Expect(says).ToHaveTextAsync("EV 6.5");
        await Expect(slider).ToHaveAttributeAsync("aria-valuetext", "EV 6.5");
        await page.Locator("#picture").FocusAsync();
        await page.Keyboard.PressAsync(">");
        await Expect(says).ToHaveTextAsync("EV 6.0");
        await Expect(slider).ToHaveValueAsync("-6");
        await page.Keyboard.PressAsync("<");
        await Expect(says).ToHaveTextAsync("EV 6.5");
        await page.Context.CloseAsync();
    }
}
