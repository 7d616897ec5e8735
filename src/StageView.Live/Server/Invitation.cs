using System.Net;
using System.Net.NetworkInformation;
using System.Net.Sockets;
using System.Text;
using QRCoder;

namespace StageView.Live.Server;

/// <summary>A link that lets one device in, once.</summary>
/// <param name="Link">To type, or to be read off a screen.</param>
internal sealed record Invitation(Uri Link)
{
    /// <summary>What stands before a key in a link's path.</summary>
    public const string Path = "/in/";

    /// <summary>The key in a path, or null.</summary>
    public static string? KeyIn(string path) => path.StartsWith(Path, StringComparison.Ordinal) ? path[Path.Length..] : null;

    /// <summary>The link as a QR code (ISO/IEC 18004), error correction M, with its quiet zone of four modules: always dark on light.</summary>
    public string Svg()
    {
        var (dark, size) = Modules();
        var path = new StringBuilder();
        for (var y = 0; y < size; y++)
        {
            for (var x = 0; x < size; x++)
            {
                if (dark(x, y))
                {
                    path.Append(null, $"M{x} {y}h1v1h-1z");
                }
            }
        }

        return $"<svg xmlns=\"http://www.w3.org/2000/svg\" viewBox=\"0 0 {size} {size}\" shape-rendering=\"crispEdges\"><path fill=\"#fff\" "
            + $"d=\"M0 0h{size}v{size}h-{size}z\"/><path d=\"{path}\"/></svg>";
    }

    /// <summary>The same for a terminal: two rows of modules to a line, light drawn in the letters' colour, which is right on a dark ground.</summary>
    public IEnumerable<string> Lines()
    {
        var (dark, size) = Modules();
        for (var y = 0; y < size; y += 2)
        {
            yield return string.Concat(Enumerable.Range(0, size).Select(x => (dark(x, y), y + 1 >= size || dark(x, y + 1)) switch
            {
                (false, false) => '█',
                (false, true) => '▀',
                (true, false) => '▄',
                _ => ' ',
            }));
        }
    }

    /// <summary>
    /// Addresses that a link can name for a server at one: itself, or where it is any, those of this machine, IPv4 before IPv6. Those of a link alone need an
    /// interface that no link can name, and are left out.
    /// </summary>
    public static IReadOnlyList<IPAddress> Reachable(IPAddress at) => !at.Equals(IPAddress.Any) && !at.Equals(IPAddress.IPv6Any) ? [at]
        : [.. NetworkInterface.GetAllNetworkInterfaces().Where(i => i.OperationalStatus == OperationalStatus.Up)
            .SelectMany(i => i.GetIPProperties().UnicastAddresses).Select(a => a.Address)
            .Where(a => !IPAddress.IsLoopback(a) && !a.IsIPv6LinkLocal
                && (a.AddressFamily == AddressFamily.InterNetwork || (a.AddressFamily == AddressFamily.InterNetworkV6 && at.Equals(IPAddress.IPv6Any))))
            .OrderBy(a => a.AddressFamily == AddressFamily.InterNetworkV6)];

    private (Func<int, int, bool> Dark, int Size) Modules()
    {
        using var code = QRCodeGenerator.GenerateQrCode(Link.ToString(), QRCodeGenerator.ECCLevel.M);
        var modules = code.ModuleMatrix;
        return ((x, y) => modules[y][x], modules.Count);
    }
}
