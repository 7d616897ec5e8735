using System.Diagnostics;
using System.Globalization;
using StageView.Wire;
using StageView.Wire.E131;
using StageView.Wire.Sockets;

namespace StageView.Benchmarks;

/// <summary>
/// Packets into levels. The load comes from a C program of ours (<c>tests/independent/burst_send.c</c>) on loopback; beside us run the
/// least a C receiver can do (<c>recv_loop.c</c>) and npm <c>sacn</c>'s receiver, one after the other, under the same load.
/// <c>STAGEVIEW_BENCH_SECONDS</c> sets the length of a burst run (60).
/// </summary>
public static class WireBenchmarks
{
    private const int Port = 25_568;
    private const int Hz = 44;

    private static string Root => Directory.GetCurrentDirectory();

    public static IEnumerable<Figure> Run()
    {
        foreach (var figure in InMemory())
        {
            yield return figure;
        }

        if (Compile("burst_send") is not { } sender || Compile("recv_loop") is not { } loop)
        {
            Console.Error.WriteLine("bench: gcc is missing (Debian package gcc): the burst figures are left out");
            yield break;
        }

        var seconds = double.Parse(Environment.GetEnvironmentVariable("STAGEVIEW_BENCH_SECONDS") ?? "60", CultureInfo.InvariantCulture);
        // Once for the compiler of the runtime, so that what is measured is the code as it runs in a show.
        Ours(sender, 1024, 6);
        var c = Theirs(sender, 1024, Math.Min(seconds, 20), loop, $"{Port} {26 << 20}");
        var ours = Ours(sender, 1024, seconds);
        yield return new Figure("wire.burst1024.lost", ours.Sent - ours.Received, "packets", "sent", (double)(ours.Sent - ours.Received) / ours.Sent);
        yield return new Figure("wire.burst1024.kernel_drops", ours.Drops, "packets");
        yield return new Figure("wire.burst1024.cores", ours.Cpu / seconds, "cores", "bare C recvmmsg", ours.Cpu / seconds / (c.Cpu / Math.Min(seconds, 20)));
        yield return new Figure("wire.burst1024.allocated", (double)ours.Allocated / ours.Received, "bytes/packet");
        yield return new Figure("wire.cpu_vs_c", ours.Cpu / ours.Received * 1e6, "us/packet", "bare C recvmmsg", ours.Cpu / ours.Received / (c.Cpu / c.Received));
        var twice = Ours(sender, 2048, Math.Min(seconds, 20));
        yield return new Figure("wire.burst2048.lost", twice.Sent - twice.Received, "packets", "sent", (double)(twice.Sent - twice.Received) / twice.Sent);
        yield return new Figure("wire.burst2048.cores", twice.Cpu / Math.Min(seconds, 20), "cores");

        if (Peers() is not { } peers)
        {
            Console.Error.WriteLine("bench: node or npm is missing: the figure beside npm sacn is left out");
            yield break;
        }

        // A load that npm sacn bears without loss.
        var few = Ours(sender, 32, 10);
        var npm = Theirs(sender, 32, 10, "node", $"{Path.Combine(peers, "receive.js")} {Port} 32");
        yield return new Figure("wire.cpu_vs_npm_sacn", few.Cpu / few.Received * 1e6, "us/packet", "npm sacn's receiver", few.Cpu / few.Received / (npm.Cpu / npm.Received));
        yield return new Figure("wire.npm_sacn.lost", npm.Sent - npm.Received, "packets", "sent", (double)(npm.Sent - npm.Received) / npm.Sent);
    }

    // Parse and merge alone, beside copying the same bytes.
    private static IEnumerable<Figure> InMemory()
    {
        const int Universes = 64;
        const int Frames = 2_000;
        var packets = new byte[Universes * 2][];
        for (var i = 0; i < packets.Length; i++)
        {
            packets[i] = new byte[E131Numbers.LongestDataPacket];
            var levels = new byte[512];
            levels.AsSpan().Fill((byte)(i / Universes));
            E131Writer.Write(packets[i], new E131DataPacket { Cid = new Cid(1, 2), SourceName = "bench"u8, Priority = 100, Universe = new UniverseNumber((i % Universes) + 1), Levels = levels });
        }

        double Time(Action<byte[], int> each)
        {
            var best = double.MaxValue;
            for (var round = 0; round < 5; round++)
            {
                var start = Stopwatch.GetTimestamp();
                for (var f = 0; f < Frames; f++)
                {
                    for (var u = 0; u < Universes; u++)
                    {
                        var packet = packets[((f & 1) * Universes) + u];
                        packet[111] = (byte)f;
                        each(packet, f);
                    }
                }

                best = Math.Min(best, Stopwatch.GetElapsedTime(start).TotalSeconds);
            }

            return best / (Frames * Universes);
        }

        var sink = new CountingSink();
        var merger = new UniverseMerger(WireSettings.Default, sink);
        var from = SourceAddress.IPv4(0x7F00_0001, 5568);
        var clock = TimeSpan.Zero;
        var merge = Time((p, f) => merger.Receive(clock += TimeSpan.FromTicks(3000), from, p));
        var target = new byte[E131Numbers.LongestDataPacket];
        var copy = Time((p, _) => p.CopyTo(target, 0));
        yield return new Figure("wire.rate", 1 / merge, "packets/s", "copying the bytes", copy / merge);
    }

    private static Load Ours(string sender, int universes, double seconds)
    {
        var options = new ListenOptions { E131Port = Port, ArtNetPort = Port + 1, Universes = [.. Enumerable.Range(1, universes).Select(u => new UniverseNumber(u))], JoinGroups = false };
        var sink = new CountingSink();
        using var live = LiveSource.Listen(WireSettings.Default, options, sink, TimeProvider.System);
        using var self = Process.GetCurrentProcess();
        using var send = Start(sender, $"{Port} {universes} {Hz} {seconds}");
        // All is known after the first frames.
        Task.Delay(1000).Wait();
        var allocated = GC.GetTotalAllocatedBytes(true);
        self.Refresh();
        var cpu = self.TotalProcessorTime;
        var before = live.Received;
        send.WaitForExit();
        Task.Delay(300).Wait();
        self.Refresh();
        var used = (self.TotalProcessorTime - cpu).TotalSeconds;
        allocated = GC.GetTotalAllocatedBytes(true) - allocated;
        var sent = long.Parse(send.StandardOutput.ReadToEnd(), CultureInfo.InvariantCulture);
        var share = (double)live.Received / Math.Max(1, live.Received - before);
        return new Load(sent, live.Received, used * share, live.KernelDrops, allocated);
    }

    private static Load Theirs(string sender, int universes, double seconds, string program, string arguments)
    {
        using var receiver = Start(program, arguments);
        receiver.StandardOutput.ReadLine();
        using var send = Start(sender, $"{Port} {universes} {Hz} {seconds}");
        var sent = long.Parse(send.StandardOutput.ReadToEnd(), CultureInfo.InvariantCulture);
        var words = receiver.StandardOutput.ReadToEnd().Split(' ', StringSplitOptions.TrimEntries);
        return new Load(sent, long.Parse(words[0], CultureInfo.InvariantCulture), double.Parse(words[1], CultureInfo.InvariantCulture), 0, 0);
    }

    private static Process Start(string program, string arguments) =>
        Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true })!;

    private static string? Compile(string name)
    {
        var output = Path.Combine(Root, "out", "bench", name);
        Directory.CreateDirectory(Path.GetDirectoryName(output)!);
        try
        {
            using var gcc = Start("gcc", $"-O2 -o {output} {Path.Combine(Root, "tests", "independent", name + ".c")}");
            gcc.WaitForExit();
            return gcc.ExitCode == 0 ? output : null;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return null;
        }
    }

    private static string? Peers()
    {
        try
        {
            using var install = Start("bash", Path.Combine(Root, "tests", "independent", "install.sh"));
            var folder = install.StandardOutput.ReadToEnd().Trim();
            install.WaitForExit();
            return install.ExitCode == 0 ? folder : null;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return null;
        }
    }

    private sealed record Load(long Sent, long Received, double Cpu, long Drops, long Allocated);

    private sealed class CountingSink : ILevelsSink
    {
        public long Count { get; private set; }

        public void OnLevels(UniverseNumber universe, TimeSpan at, ReadOnlySpan<byte> levels) => Count++;
    }
}
