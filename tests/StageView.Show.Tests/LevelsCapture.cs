using StageView.Wire.Capture;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Show.Tests;

/// <summary>Captures as a console would fill them.</summary>
internal static class LevelsCapture
{
    /// <summary>Universe 1, sent at an even pace from 0 on.</summary>
    /// <param name="path">Where it goes.</param>
    /// <param name="seconds">Length, s.</param>
    /// <param name="hertz">Packets a second.</param>
    /// <param name="levels">The levels of each packet, by its number.</param>
    public static string Write(string path, double seconds, int hertz, Func<int, byte[]> levels)
    {
        using var writer = new PcapngWriter(File.Create(path), new DateTimeOffset(2026, 1, 2, 3, 4, 5, TimeSpan.Zero));
        var packet = new byte[E131Numbers.LongestDataPacket];
        for (var i = 0; i <= seconds * hertz; i++)
        {
            var length = E131Writer.Write(packet, new E131DataPacket
            {
                Cid = new Cid(1, 2), SourceName = "desk"u8, Priority = 100, Sequence = (byte)i, Universe = new UniverseNumber(1), Levels = levels(i),
            });
            writer.Write(TimeSpan.FromSeconds((double)i / hertz), SourceAddress.IPv4(0x0A00_0001, 5568), SourceAddress.IPv4(0xEFFF_0001, 5568),
                packet.AsSpan(0, length));
        }

        return path;
    }

    /// <summary>Every slot at one level.</summary>
    public static byte[] Even(int slots, int level)
    {
        var levels = new byte[slots];
        Array.Fill(levels, (byte)level);
        return levels;
    }
}
