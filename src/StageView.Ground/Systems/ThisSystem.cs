using System.Runtime.Versioning;

namespace StageView.Ground.Systems;

/// <summary>
/// The system that this runs on: the one place that asks. What differs by system stands behind a small interface, its implementations side by side, and is
/// chosen with <see cref="Choose{T}"/>.
/// </summary>
public static class ThisSystem
{
    /// <summary>Linux, and whatever is neither Windows nor macOS.</summary>
    [UnsupportedOSPlatformGuard("windows")]
    public static bool IsUnix => !OperatingSystem.IsWindows();

    /// <summary>As people call it.</summary>
    public static string Name => Choose(() => "Linux", () => "Windows", () => "macOS");

    /// <summary>One of three, by the system; only that one is made.</summary>
    public static T Choose<T>(Func<T> linux, Func<T> windows, Func<T> macOS)
    {
        ArgumentNullException.ThrowIfNull(linux);
        ArgumentNullException.ThrowIfNull(windows);
        ArgumentNullException.ThrowIfNull(macOS);
        return OperatingSystem.IsWindows() ? windows() : OperatingSystem.IsMacOS() ? macOS() : linux();
    }
}
