using Microsoft.Playwright;

namespace StageView.Snapshot.Tests.Report;

/// <summary>A browser that opens reports.</summary>
public sealed class Browser : Chromium
{
    /// <summary>The page from its file with the network cut, or a skip that says why there is none.</summary>
    public Task<IPage> Open(string file, int width = 1360, int height = 850, bool phone = false, ColorScheme scheme = ColorScheme.Light) =>
        Page(new Uri(file), width, height, phone, scheme, offline: true);
}
