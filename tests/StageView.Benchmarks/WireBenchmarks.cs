using System.Diagnostics;
using System.Globalization;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Levels;
using StageView.Wire.Universes;

namespace StageView.Benchmarks;

/// <summary>
/// Packets into levels, on loopback. Beside us run, one after the other under the same load, the least a C receiver can do
/// (<c>recv_loop.c</c>), npm <c>sacn</c>'s receiver, and Debian's olad (in a network namespace, as root).
/// <c>STAGEVIEW_BENCH_SECONDS</c> sets the length of a burst run (60) and, divided by 20, of each trial for the highest rate.
/// </summary>
public static class WireBenchmarks
{
    public static IEnumerable<Figure> Run()
    {
        foreach (var figure in InMemory())
        {
            yield return figure;
        }

        foreach (var figure in SeekBenchmark.Run())
        {
            yield return figure;
        }

        if (Compile("burst_send") is not { } sender || Compile("recv_loop") is not { } loop)
        {
            Console.Error.WriteLine("bench: gcc is missing (Debian package gcc): the burst figures are left out");
            yield break;
        }

        var seconds = double.Parse(Environment.GetEnvironmentVariable("STAGEVIEW_BENCH_SECONDS") ?? "60", CultureInfo.InvariantCulture);
        var some = Math.Min(seconds, 20);
        WireLoad C(int universes, double time, double hz = WireLoad.Hz) => WireLoad.Of(sender, universes, time, loop, $"{WireLoad.Port} {26 << 20}", hz);
        // Once for the compiler of the runtime, so that what is measured is the code as it runs in a show.
        WireLoad.Ours(sender, 1024, 6);
        var c = C(1024, some);
        var ours = WireLoad.Ours(sender, 1024, seconds);
        yield return new Figure("wire.burst1024.lost", ours.Lost, "packets", "sent", (double)ours.Lost / ours.Sent);
        yield return new Figure("wire.burst1024.kernel_drops", ours.Drops, "packets");
        yield return new Figure("wire.burst1024.cores", ours.Cpu / ours.Seconds, "cores", "bare C recvmmsg", ours.Cpu / ours.Seconds / (c.Cpu / c.Seconds));
        yield return new Figure("wire.burst1024.allocated", (double)ours.Allocated / ours.Received, "bytes/packet");
        yield return new Figure("wire.cpu_vs_c", ours.CpuAPacket * 1e6, "us/packet", "bare C recvmmsg", ours.CpuAPacket / c.CpuAPacket);
        var twice = WireLoad.Ours(sender, 2048, some);
        yield return new Figure("wire.burst2048.lost", twice.Lost, "packets", "sent", (double)twice.Lost / twice.Sent);
        yield return new Figure("wire.burst2048.cores", twice.Cpu / twice.Seconds, "cores");

        var trial = Math.Max(1, seconds / 20);
        var best = Highest("C", (u, hz) => C(u, trial, hz));
        yield return new Figure("wire.lossfree.c", best, "packets/s");
        var highest = Highest("ours", (u, hz) => WireLoad.Ours(sender, u, trial + 1, hz));
        yield return new Figure("wire.lossfree", highest, "packets/s", "bare C recvmmsg", highest / best);

        // Loads that the peers bear without loss.
        const int Few = 32;
        const int MostForOlad = 256;
        var few = WireLoad.Ours(sender, Few, some / 2);
        if (Peers() is { } peers)
        {
            WireLoad Npm(int universes, double time) =>
                WireLoad.Of(sender, universes, time, "node", $"{Path.Combine(peers, "receive.js")} {WireLoad.Port} {universes}");
            var npm = Npm(Few, some / 2);
            yield return new Figure("wire.cpu_vs_npm_sacn", few.CpuAPacket * 1e6, "us/packet", "npm sacn's receiver", few.CpuAPacket / npm.CpuAPacket);
            yield return new Figure("wire.npm_sacn.lost", npm.Lost, "packets", "sent", (double)npm.Lost / npm.Sent);
            yield return new Figure("wire.lossfree.npm_sacn", Highest("npm sacn", (u, _) => Npm(u, trial), WireLoad.MostUniverses), "packets/s");
        }
        else
        {
            Console.Error.WriteLine("bench: node or npm is missing: the figures beside npm sacn are left out");
        }

        WireLoad olad;
        using (var ola = OlaReceiver.TryStart(Few))
        {
            if (ola is null)
            {
                Console.Error.WriteLine("bench: olad, iproute2 or root is missing: the figures beside olad are left out");
                yield break;
            }

            olad = ola.Run(sender, Few, some / 2);
        }

        yield return new Figure("wire.cpu_vs_olad", few.CpuAPacket * 1e6, "us/packet", "olad", few.CpuAPacket / olad.CpuAPacket);
        yield return new Figure("wire.olad.lost", olad.Lost, "packets", "sent", (double)olad.Lost / olad.Sent);
        using var more = OlaReceiver.TryStart(MostForOlad);
        yield return new Figure("wire.lossfree.olad", more is null ? 0 : Highest("olad", (u, _) => more.Run(sender, u, trial), MostForOlad), "packets/s");
    }

    // The highest rate of bursts without a lost packet: more universes at 44 Hz (then more frames a second), until some are lost or no more
    // leave the sender, then halving the step. What really left counts.
    private static double Highest(string who, Func<int, double, WireLoad> run, int most = 8 * WireLoad.MostUniverses)
    {
        int good = 0, bad = most + 1;
        double rate = 0;
        var why = "the most tried";
        for (var load = 8; bad - good > Math.Max(1, good / 16) && good < most; load = bad > most ? Math.Min(most, load * 2) : (good + bad) / 2)
        {
            var universes = Math.Min(load, WireLoad.MostUniverses);
            var hz = WireLoad.Hz * load / universes;
            bool Slow(WireLoad l) => l.Rate < 0.95 * universes * hz;
            var result = run(universes, hz);
            for (var again = 0; again < 2 && result.Lost <= 0 && Slow(result); again++)
            {
                result = run(universes, hz);
            }

            if (result.Lost > 0)
            {
                bad = load;
                why = string.Create(CultureInfo.InvariantCulture, $"lost some of {bad * WireLoad.Hz:F0}/s");
                continue;
            }

            good = load;
            // A sender that falls behind is no end as long as more still leaves.
            var before = rate;
            rate = Math.Max(rate, result.Rate);
            if (Slow(result) && result.Rate < 1.05 * before)
            {
                why = "the sender's own limit";
                break;
            }
        }

        Console.Error.WriteLine(string.Create(CultureInfo.InvariantCulture, $"bench: {who} took {rate:F0} packets/s without loss ({why})"));
        return rate;
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
            E131Writer.Write(packets[i], new E131DataPacket
            {
                Cid = new Cid(1, 2), SourceName = "bench"u8, Priority = 100, Universe = new UniverseNumber((i % Universes) + 1), Levels = levels,
            });
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

    private static string? Compile(string name)
    {
        var output = Path.Combine(WireLoad.Root, "out", "bench", name);
        Directory.CreateDirectory(Path.GetDirectoryName(output)!);
        try
        {
            using var gcc = WireLoad.Start("gcc", $"-O2 -o {output} {Path.Combine(WireLoad.Root, "tests", "independent", name + ".c")}");
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
            using var install = WireLoad.Start("bash", Path.Combine(WireLoad.Root, "tests", "independent", "install.sh"));
            var folder = install.StandardOutput.ReadToEnd().Trim();
            install.WaitForExit();
            return install.ExitCode == 0 ? folder : null;
        }
        catch (System.ComponentModel.Win32Exception)
        {
            return null;
        }
    }

    private sealed class CountingSink : ILevelsSink
    {
        public long Count { get; private set; }

        public void OnLevels(UniverseNumber universe, TimeSpan at, ReadOnlySpan<byte> levels) => Count++;
    }
}
