using System.Globalization;
using System.Net;

namespace StageView.Wire.Sockets;

/// <summary>
/// Which of our sockets another program's doubles: of several sockets on one address and port the kernel gives unicast to one alone, while all get
/// multicast and broadcasts. Linux lists them in /proc/net/udp.
/// </summary>
internal static class PortSharing
{
    /// <param name="own">Our sockets' ends.</param>
    /// <returns>Ends that appear more often on this machine than among ours, in order.</returns>
    public static IReadOnlyList<string> Of(IReadOnlyCollection<IPEndPoint> own)
    {
        var all = new Dictionary<IPEndPoint, int>();
        try
        {
            foreach (var end in new[] { "/proc/self/net/udp", "/proc/self/net/udp6" }.Where(File.Exists).SelectMany(File.ReadLines).Select(Read)
                .OfType<IPEndPoint>())
            {
                all[end] = all.GetValueOrDefault(end) + 1;
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            return [];
        }

        return [.. own.GroupBy(e => e).Where(g => all.GetValueOrDefault(g.Key) > g.Count()).Select(g => g.Key.ToString()).Order(StringComparer.Ordinal)];
    }

    // "  12: 0100007F:15C0 00000000:0000 ...": the address in words of 32 bits as this machine has them in memory, the port as a number.
    private static IPEndPoint? Read(string line)
    {
        var words = line.Split(' ', 3, StringSplitOptions.RemoveEmptyEntries);
        if (words.Length < 3 || words[1].Split(':') is not [var address, var port] || address.Length is not (8 or 32)
            || !ushort.TryParse(port, NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out var number))
        {
            return null;
        }

        var bytes = new byte[address.Length / 2];
        for (var i = 0; i < bytes.Length; i += 4)
        {
            if (!uint.TryParse(address.AsSpan(2 * i, 8), NumberStyles.AllowHexSpecifier, CultureInfo.InvariantCulture, out var word))
            {
                return null;
            }

            BitConverter.TryWriteBytes(bytes.AsSpan(i), word);
        }

        return new IPEndPoint(new IPAddress(bytes), number);
    }
}
