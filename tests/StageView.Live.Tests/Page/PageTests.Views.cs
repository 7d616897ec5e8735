using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>Views of the page: saved ones, cameras, and how bright they are.</summary>
public sealed partial class PageTests
{
    [Fact]
    public async Task A_view_is_saved_on_the_device_and_called_again_in_another_tab()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await page.Locator("#picture").FocusAsync();
        await page.Keyboard.PressAsync("ArrowRight");
        await page.Keyboard.PressAsync("+");
        var saved = await Eye(page);
        await page.Locator("#camera-save").ClickAsync();
        await Expect(page.Locator("#said")).ToContainTextAsync("Saved as view 1");
        page = await page.Context.NewPageAsync();
        await page.GotoAsync(served.Server.Address.ToString());
        await Expect(page.Locator("#cameras option")).ToHaveCountAsync(3);
        Assert.NotEqual(saved, await Eye(page));
        await page.Locator("#picture").FocusAsync();
        await page.Keyboard.PressAsync("3");
        await Expect(page.Locator("#cameras")).ToHaveValueAsync("own:0");
        Assert.Equal(saved, await Eye(page));
        await page.Locator("#camera-drop").ClickAsync();
        await Expect(page.Locator("#cameras option")).ToHaveTextAsync(["turned by hand", "1  house", "2  from the left"]);
        await Expect(page.Locator("#camera-drop")).ToBeHiddenAsync();
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Saved_views_have_names_of_their_own_and_the_twenty_first_is_refused()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        var (save, said) = (page.Locator("#camera-save"), page.Locator("#said"));
        await save.ClickAsync();
        await save.ClickAsync();
        await Expect(said).ToHaveTextAsync("Saved as view 2 on this device; key 4.");
        await page.Locator("#cameras").SelectOptionAsync("own:0");
        await page.Locator("#camera-drop").ClickAsync();
        await save.ClickAsync();
        await Expect(said).ToHaveTextAsync("Saved as view 1 on this device; key 4.");
        for (var n = 3; n <= 20; n++)
        {
            await save.ClickAsync();
            // Two cameras of the rig come first, and there are nine keys.
            await Expect(said).ToHaveTextAsync($"Saved as view {n} on this device{(n <= 7 ? $"; key {n + 2}" : "")}.");
        }

        await save.ClickAsync();
        await Expect(said).ToContainTextAsync("20 views are saved on this device, the most it keeps");
        await Expect(page.Locator("#cameras option")).ToHaveCountAsync(22);
        await Expect(page.Locator("#cameras option").Last).ToHaveTextAsync("view 20 (saved here)");
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_camera_is_called_again_after_the_view_was_turned_by_hand()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        var cameras = page.Locator("#cameras");
        await Expect(cameras).ToHaveValueAsync("rig:0");
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
            await cameras.SelectOptionAsync("rig:0");
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
