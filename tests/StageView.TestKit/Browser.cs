using Microsoft.Playwright;

namespace StageView.TestKit;

/// <summary>A browser that opens the live page.</summary>
public sealed class Browser : Chromium
{
    /// <summary>A page of its own, once it has reached its server; or a skip that says why there is none.</summary>
    public async Task<IPage> Open(Uri address, int width = 1440, int height = 900, bool touch = false)
    {
        var page = await Page(address, width, height, touch);
        await Assertions.Expect(page.Locator("#source")).Not.ToContainTextAsync("connecting");
        return page;
    }

    /// <summary>Where screenshots go, to be looked at.</summary>
    public static string Shot(string name) => Path.Combine(Repo.Out("live"), name + ".png");

    /// <summary>Mean brightness of the picture on the page, 0 to 255.</summary>
    public static Task<double> Brightness(IPage page) => page.EvaluateAsync<double>("""
        () => { const c = document.getElementById("picture"), k = document.createElement("canvas"); k.width = 64; k.height = 36;
          const p = k.getContext("2d"); p.drawImage(c, 0, 0, 64, 36); const d = p.getImageData(0, 0, 64, 36).data;
          let s = 0; for (let i = 0; i < d.length; i += 4) s += (d[i] + d[i + 1] + d[i + 2]) / 3; return s / (64 * 36); }
        """);

    /// <summary>Waits until the mean brightness of the picture fits.</summary>
    public static async Task BrightnessBecomes(IPage page, Func<double, bool> fits)
    {
        var last = 0.0;
        // A fine picture on a busy machine without a GPU takes seconds.
        var from = TimeProvider.System.GetTimestamp();
        while (TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromMinutes(2))
        {
            last = await Brightness(page);
            if (fits(last))
            {
                return;
            }

            await Task.Delay(50, TestContext.Current.CancellationToken);
        }

        Assert.Fail($"the picture's brightness stayed at {last}");
    }
}
