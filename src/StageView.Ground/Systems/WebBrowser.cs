using System.ComponentModel;
using System.Diagnostics;

namespace StageView.Ground.Systems;

/// <summary>The browser that the user has chosen.</summary>
public static class WebBrowser
{
    /// <summary>Opens a page in it; false where the system has none to give.</summary>
    public static bool TryOpen(Uri page)
    {
        ArgumentNullException.ThrowIfNull(page);
        try
        {
            var start = ThisSystem.Choose(
                () => new ProcessStartInfo(OutsideProgram.File("xdg-open"), [page.ToString()]) { RedirectStandardError = true, RedirectStandardOutput = true },
                () => new ProcessStartInfo(page.ToString()) { UseShellExecute = true },
                () => new ProcessStartInfo("/usr/bin/open", [page.ToString()]));
            using var started = Process.Start(start);
            return true;
        }
        catch (Exception e) when (e is Win32Exception or InvalidOperationException)
        {
            return false;
        }
    }
}
