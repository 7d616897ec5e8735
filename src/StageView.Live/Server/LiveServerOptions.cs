using System.Net;

namespace StageView.Live.Server;

/// <summary>Where the page is served and how much it may cost.</summary>
public sealed record LiveServerOptions
{
    public const int UsualPort = 4960;

    public IPAddress Address { get; init; } = IPAddress.Loopback;

    /// <summary>0 takes a free one.</summary>
    public int Port { get; init; } = UsualPort;

    /// <summary>Viewers at once; one more is told so.</summary>
    public int MostViewers { get; init; } = 8;

    /// <summary>Viewers at once from one address other than loopback.</summary>
    public int MostViewersAnAddress { get; init; } = 4;

    /// <summary>The longest message a page may send, bytes.</summary>
    public int LongestMessage { get; init; } = 16 * 1024;

    /// <summary>The largest picture, pixels.</summary>
    public int MostPixels { get; init; } = 1920 * 1200;

    public double MostFramesPerSecond { get; init; } = 60;

    /// <summary>A viewer that takes longer to accept one message is let go.</summary>
    public TimeSpan SendPatience { get; init; } = TimeSpan.FromSeconds(10);

    /// <summary>A rung of the quality ladder to stay on, for measuring; null to follow the link.</summary>
    public int? PinnedRung { get; init; }

    /// <summary>Served over HTTPS with it; plain HTTP when null.</summary>
    public System.Security.Cryptography.X509Certificates.X509Certificate2? Certificate { get; init; }

    public bool LoopbackOnly => IPAddress.IsLoopback(Address);
}
