using StageView.Live.Tests.Server;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>Finding a fixture in the patch as fast as somebody types.</summary>
public sealed partial class PageTests
{
    [Fact]
    public async Task The_slash_key_selects_the_old_text_so_that_typing_replaces_it()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await page.Keyboard.PressAsync("/");
        await page.Keyboard.TypeAsync("Spot 7");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 7");
        await page.Locator("#picture").FocusAsync();
        await page.Keyboard.PressAsync("/");
        await page.Keyboard.TypeAsync("Spot 9");
        await Expect(page.Locator("#find")).ToHaveValueAsync("Spot 9");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 9");
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Enter_before_the_answer_waits_for_it_and_takes_its_first_hit()
    {
        using var slow = new SemaphoreSlim(0);
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await page.Locator("#find").FillAsync("Spot 3");
        await Expect(page.Locator("#found button")).ToContainTextAsync("Spot 3");
        served.Show.OnSearch = _ => slow.Wait(TimeSpan.FromSeconds(30));
        await page.Locator("#find").FillAsync("Spot 8");
        await page.Keyboard.PressAsync("Enter");

        slow.Release(100);
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 8");
        await Expect(page.Locator("#found button")).ToContainTextAsync("Spot 8");

        // What is typed on after Enter is another search; none of it is taken.
        served.Show.OnSearch = null;
        await page.Locator("#find").FillAsync("no such head");
        await page.Keyboard.PressAsync("Enter");
        await Expect(page.Locator("#found")).ToContainTextAsync("Nothing in the patch fits");
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 8");
        await page.Context.CloseAsync();
    }

    // At 64 kbit/s two seconds are 16 kB: so much may come from the server, of pictures, states and a fixture that is followed, before the hit stands there.
    [Fact]
    public async Task Over_a_thin_link_a_search_is_answered_before_much_else()
    {
        await using var served = await ServedShow.Start();
        await using var link = new ThinLink(served.Server.Address, 64_000);
        using var end = new CancellationTokenSource();
        var moving = Task.Run(async () =>
        {
            for (; !end.IsCancellationRequested; served.Show.Level = (served.Show.Level + 1) % 200)
            {
                await Task.Delay(20);
            }
        });
        var page = await browser.Open(link.Address);
        await Expect(page.Locator("#source")).ToContainTextAsync("network", new() { Timeout = 120_000 });
        await page.Locator("#picture").ClickAsync();
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 1", new() { Timeout = 120_000 });

        // By then the link is known to be thin: the second of two searches counts.
        foreach (var wanted in new[] { "Spot 5", "Spot 8" })
        {
            var before = link.Came;
            await page.Keyboard.PressAsync("/");
            await page.Keyboard.TypeAsync(wanted);
            await Expect(page.Locator("#found button")).ToHaveTextAsync(new System.Text.RegularExpressions.Regex("^" + wanted), new() { Timeout = 120_000 });
            if (wanted == "Spot 8")
            {
                Assert.InRange(link.Came - before, 1, 16_000);
            }

            await page.Locator("#picture").FocusAsync();
        }

        await page.Context.CloseAsync();
        await end.CancelAsync();
        await moving;
    }
}
