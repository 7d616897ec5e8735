using Microsoft.Playwright;
using StageView.Live.Terms;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

public sealed partial class PageTests
{
    [Fact]
    public async Task The_level_and_the_state_of_a_sound_input_stand_before_the_timecode_with_all_of_it_under_the_pointer()
    {
        await using var served = await ServedShow.Start();
        (served.Show.Note, served.Show.Ltc) = ("29.97 frames/s, drop, backwards, LTC", new LtcState("heard", "LTC no timecode -12 dB", "LTC from alsa:hw:1: reads"));
        var page = await browser.Open(served.Server.Address, 1024, 768);
        await Expect(page.Locator("#timecode-word")).ToHaveTextAsync("● LTC no timecode -12 dB");
        await Expect(page.Locator("#timecode-word")).ToHaveAttributeAsync("title", "LTC from alsa:hw:1: reads");
        await Expect(page.Locator("#timecode-note")).ToHaveTextAsync("29.97 drop, backwards, LTC");
        foreach (var (width, height) in new[] { (1024, 768), (390, 844), (1440, 900) })
        {
            await page.SetViewportSizeAsync(width, height);
            Assert.Empty(await page.EvaluateAsync<string[]>("""
                () => [...document.querySelectorAll(".top > *")].filter(e => e.offsetParent && getComputedStyle(e).position !== "absolute")
                  .filter((e, i, all) => { const r = e.getBoundingClientRect(), b = all.map(o => o.getBoundingClientRect());
                    return r.right > innerWidth + 1 || b.some((o, j) => j !== i && o.left < r.right - 1 && r.left < o.right - 1 && o.top < r.bottom - 1 && r.top < o.bottom - 1); })
                  .map(e => e.id || e.innerText)
                """));
            await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot($"ltc-{width}") });
        }

        (served.Show.Note, served.Show.Ltc) = ("25 frames/s, runs, ArtTimeCode", new LtcState("lost", "LTC no input", "LTC from alsa:hw:1: no input: busy"));
        await Expect(page.Locator("#timecode-word")).ToHaveTextAsync("✕ LTC no input");
        await Expect(page.Locator("#timecode-note")).ToHaveTextAsync("25, runs, Art-Net");
        (served.Show.Timecode, served.Show.Ltc) = (null, new LtcState("silent", "LTC no sound", "LTC from alsa:hw:1: no sound"));
        await Expect(page.Locator("#timecode-word")).ToHaveTextAsync("○ LTC no sound");
        await Expect(page.Locator("#timecode-box")).ToBeVisibleAsync();
        await page.Context.CloseAsync();
    }
}
