using StageView.Wire.ArtNet;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Wire.Tests;

/// <summary>Packets as the tests need them.</summary>
internal static class Packets
{
    public static readonly SourceAddress Console1 = SourceAddress.IPv4(0x0A00_0001, 5568);
    public static readonly SourceAddress Console2 = SourceAddress.IPv4(0x0A00_0002, 5568);

    public static Cid Cid(int n) => new(0x5354_4147_4556_0000, (ulong)n);

    public static byte[] Levels(int count, byte level)
    {
        var levels = new byte[count];
        levels.AsSpan().Fill(level);
        return levels;
    }

    public static byte[] Data(
        int cid,
        int universe,
        byte sequence,
        ReadOnlySpan<byte> levels,
        byte priority = 100,
        ushort sync = 0,
        byte startCode = 0,
        bool preview = false,
        bool terminated = false,
        bool forceSync = false,
        string name = "test")
    {
        var buffer = new byte[E131Numbers.LongestDataPacket];
        var length = E131Writer.Write(buffer, new E131DataPacket
        {
            Cid = Cid(cid),
            SourceName = System.Text.Encoding.UTF8.GetBytes(name),
            Priority = priority,
            SyncAddress = sync,
            Sequence = sequence,
            Preview = preview,
            Terminated = terminated,
            ForceSync = forceSync,
            Universe = new UniverseNumber(universe),
            StartCode = startCode,
            Levels = levels,
        });
        return buffer[..length];
    }

    public static byte[] Sync(int cid, ushort address, byte sequence)
    {
        var buffer = new byte[64];
        return buffer[..E131Writer.Write(buffer, new E131SyncPacket(Cid(cid), sequence, address))];
    }

    public static byte[] ArtDmx(int portAddress, byte sequence, ReadOnlySpan<byte> levels, byte physical = 0)
    {
        var buffer = new byte[ArtNetNumbers.LongestDmxPacket];
        return buffer[..ArtNetWriter.Write(buffer,
            new ArtDmxPacket { Sequence = sequence, Physical = physical, PortAddress = (ushort)portAddress, Levels = levels })];
    }
}
