using Microsoft.Playwright;

namespace StageView.App.Tests.Live;

/// <summary>One headless Chromium for all page tests.</summary>
public sealed class Browser : IAsyncLifetime
{
    private const string Executable = "/usr/bin/chromium";
    private IPlaywright? _playwright;
    private IBrowser? _browser;

    public async ValueTask InitializeAsync()
    {
        if (!File.Exists(Executable))
        {
            return;
        }

        // Conditions are waited for, however long a busy machine takes; nothing here asserts a time.
        Assertions.SetDefaultExpectTimeout(60_000);
        _playwright = await Playwright.CreateAsync();
        _browser = await _playwright.Chromium.LaunchAsync(new BrowserTypeLaunchOptions
        {
            ExecutablePath = Executable,
            Args = ["--no-sandbox", "--disable-gpu", "--headless=new"],
        });
    }

    public async ValueTask DisposeAsync()
    {
        if (_browser is not null)
        {
            await _browser.DisposeAsync();
        }

        _playwright?.Dispose();
    }

    /// <summary>A page of its own, or a skip that says why there is none.</summary>
    public async Task<IPage> Open(Uri address, int width = 1440, int height = 900, bool touch = false)
    {
        if (_browser is null)
        {
            Assert.Skip($"{Executable} is missing: apt-get install chromium");
        }

        var context = await _browser.NewContextAsync(new BrowserNewContextOptions
        {
            ViewportSize = new ViewportSize { Width = width, Height = height },
            HasTouch = touch,
            IsMobile = touch,
            DeviceScaleFactor = touch ? 2 : 1,
        });
        var page = await context.NewPageAsync();
        page.SetDefaultTimeout(60_000);
        await page.GotoAsync(address.ToString());
        await Assertions.Expect(page.Locator("#source")).Not.ToContainTextAsync("connecting");
        return page;
    }

    /// <summary>Where screenshots go, to be looked at.</summary>
    public static string Shot(string name)
    {
        var folder = Repo.File("out", "test", "live");
        Directory.CreateDirectory(folder);
        return Path.Combine(folder, name + ".png");
    }

    /// <summary>Mean brightness of the picture on the page, 0 to 255.</summary>
    public static Task<double> Brightness(IPage page) => page.EvaluateAsync<double>("""
        () => { const c = document.getElementById("picture"), k = document.createElement("canvas"); k.width = 64; k.height = 36;
          const p = k.getContext("2d"); p.drawImage(c, 0, 0, 64, 36); const d = p.getImageData(0, 0, 64, 36).data;
          let s = 0; for (let i = 0; i < d.length; i += 4) s += (d[i] + d[i + 1] + d[i + 2]) / 3; return s / (64 * 36); }
        """);
}
