using Microsoft.Playwright;

namespace StageView.TestKit;

/// <summary>One headless Chromium for all tests of a collection.</summary>
public class Chromium : IAsyncLifetime
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
        GC.SuppressFinalize(this);
        if (_browser is not null)
        {
            await _browser.DisposeAsync();
        }

        _playwright?.Dispose();
    }

    /// <summary>A page of its own, or a skip that says why there is none.</summary>
    /// <param name="address">Where it goes.</param>
    /// <param name="width">In CSS pixels.</param>
    /// <param name="height">In CSS pixels.</param>
    /// <param name="touch">A phone or a tablet: fingers, and two pixels to each of CSS.</param>
    /// <param name="scheme">Light or dark.</param>
    /// <param name="offline">With the network cut.</param>
    /// <param name="anyCertificate">As somebody who goes on after the warning of a certificate that no browser knows.</param>
    public async Task<IPage> Page(Uri address, int width, int height, bool touch, ColorScheme scheme = ColorScheme.Light, bool offline = false,
        bool anyCertificate = false)
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
            ColorScheme = scheme,
            Offline = offline,
            IgnoreHTTPSErrors = anyCertificate,
        });
        var page = await context.NewPageAsync();
        page.SetDefaultTimeout(60_000);
        await page.GotoAsync(address.ToString());
        return page;
    }
}
