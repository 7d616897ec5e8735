using System.Diagnostics;
using StageView.Wire.Capture;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Levels;
using StageView.Wire.Universes;

namespace StageView.Benchmarks;

/// <summary>
/// Levels at a time of a one-hour capture of 40 universes: by the index, beside reading the capture up to there. The capture is made here, with
/// <c>STAGEVIEW_BENCH_CAPTURE_HZ</c> (10) packets a second and universe, all changing.
/// </summary>
internal static class SeekBenchmark
{
    private const int Universes = 40;
    private const int Seconds = 3600;

    public static IEnumerable<Figure> Run()
    {
        var hz = int.Parse(Environment.GetEnvironmentVariable("STAGEVIEW_BENCH_CAPTURE_HZ") ?? "10", System.Globalization.CultureInfo.InvariantCulture);
        var folder = Directory.CreateTempSubdirectory("stageview-bench-");
        try
        {
            var path = Path.Combine(folder.FullName, "hour.pcapng");
            Write(path, hz);
            var start = Stopwatch.GetTimestamp();
            var index = CaptureIndex.Open(path);
            yield return new Figure("wire.index.make", Stopwatch.GetElapsedTime(start).TotalSeconds, "s");
            var seek = new List<double>();
            var read = 0.0;
            var same = true;
            foreach (var at in new[] { 3590, 600, 1800, 3000, 45, 2222 })
            {
                var time = TimeSpan.FromSeconds(at + 0.123);
                start = Stopwatch.GetTimestamp();
                var sought = Levels(path, time, CaptureIndex.Open(path));
                seek.Add(Stopwatch.GetElapsedTime(start).TotalSeconds);
                if (read == 0)
                {
                    start = Stopwatch.GetTimestamp();
                    var played = Levels(path, time, null);
                    read = Stopwatch.GetElapsedTime(start).TotalSeconds;
                    same = sought.AsSpan().SequenceEqual(played);
                }
            }

            seek.Sort();
            yield return new Figure("wire.index.size", new FileInfo(path + ".index").Length / 1e6, "MB", "the capture",
                (double)new FileInfo(path + ".index").Length / new FileInfo(path).Length);
            yield return new Figure("wire.seek", seek[seek.Count / 2], "s", same ? "reading up to 59:50" : "reading (levels differ!)",
                seek[seek.Count / 2] / read);
        }
        finally
        {
            folder.Delete(recursive: true);
        }
    }

    private static byte[] Levels(string path, TimeSpan time, CaptureIndex? index)
    {
        using var reader = CaptureReader.Open(path);
        var merger = new UniverseMerger(WireSettings.Default);
        var player = new CapturePlayer(reader, merger);
        if (index is null)
        {
            player.PlayTo(time);
        }
        else
        {
            player.SeekTo(index, time);
        }

        var all = new byte[Universes * 512];
        for (var u = 0; u < Universes; u++)
        {
            if (merger.TryGetLevels(new UniverseNumber(u + 1), out var levels))
            {
                levels.CopyTo(all.AsSpan(u * 512));
            }
        }

        return all;
    }

    private static void Write(string path, int hz)
    {
        using var writer = new PcapngWriter(new FileStream(path, FileMode.CreateNew, FileAccess.Write, FileShare.Read, 1 << 20),
            DateTimeOffset.UnixEpoch.AddYears(56));
        var packet = new byte[E131Numbers.LongestDataPacket];
        var levels = new byte[512];
        var from = SourceAddress.IPv4(0x0A00_0001, E131Numbers.Port);
        for (var f = 0; f < Seconds * hz; f++)
        {
            for (var u = 1; u <= Universes; u++)
            {
                levels.AsSpan().Fill((byte)(f + u));
                var length = E131Writer.Write(packet,
                    new E131DataPacket
                    {
                        Cid = new Cid(1, 2), SourceName = "bench"u8, Priority = 100, Sequence = (byte)f, Universe = new UniverseNumber(u), Levels = levels,
                    });
                writer.Write(TimeSpan.FromSeconds((double)f / hz), from, SourceAddress.IPv4(0xEFFF_0000u | (uint)u, E131Numbers.Port),
                    packet.AsSpan(0, length));
            }
        }
    }
}
