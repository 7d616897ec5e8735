using Microsoft.Playwright;

namespace StageView.Snapshot.Tests.Report;

/// <summary>One headless Chromium for all tests of the report.</summary>
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

    /// <summary>The page from its file with the network cut, or a skip that says why there is none.</summary>
    public async Task<IPage> Open(string file, int width = 1360, int height = 850, bool phone = false, ColorScheme scheme = ColorScheme.Light)
    {
        if (_browser is null)
        {
            Assert.Skip($"{Executable} is missing: apt-get install chromium");
        }

        var context = await _browser.NewContextAsync(new BrowserNewContextOptions
        {
            ViewportSize = new ViewportSize { Width = width, Height = height },
            HasTouch = phone,
            IsMobile = phone,
            DeviceScaleFactor = phone ? 2 : 1,
            ColorScheme = scheme,
            Offline = true,
        });
        var page = await context.NewPageAsync();
        page.SetDefaultTimeout(60_000);
        await page.GotoAsync(new Uri(file).ToString());
        return page;
    }
}
