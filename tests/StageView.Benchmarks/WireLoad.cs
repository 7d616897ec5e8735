using System.Diagnostics;
using System.Globalization;
using StageView.Wire.Levels;
using StageView.Wire.Sockets;
using StageView.Wire.Universes;

namespace StageView.Benchmarks;

/// <summary>
/// One load of bursts on one receiver: ours in this process, or another program beside it. The sender is a C program of ours
/// (<c>tests/independent/burst_send.c</c>); lost packets are those sent less those that the receiver counted, or, for olad, the kernel's count of drops.
/// </summary>
internal sealed record WireLoad(long Sent, long Received, double Cpu, double Seconds, long Drops, long Allocated)
{
    public const int Port = 25_568;
    public const double Hz = 44;

    /// <summary>Beyond so many universes a higher rate is sent as more frames a second.</summary>
    public const int MostUniverses = 4096;

    /// <summary>Packets a second that really left.</summary>
    public double Rate => Sent / Seconds;

    public long Lost => Sent - Received;

    public double CpuAPacket => Cpu / Math.Max(1, Received);

    public static string Root => Directory.GetCurrentDirectory();

    /// <summary>Into merged levels, by a <see cref="LiveSource"/>.</summary>
    public static WireLoad Ours(string sender, int universes, double seconds, double hz = Hz)
    {
        var options = new ListenOptions
        {
            E131Port = Port, ArtNetPort = Port + 1, Universes = [.. Enumerable.Range(1, universes).Select(u => new UniverseNumber(u))], JoinGroups = false,
        };
        var sink = new CountingSink();
        using var live = LiveSource.Listen(WireSettings.Default, options, sink, TimeProvider.System);
        using var self = Process.GetCurrentProcess();
        using var send = Send(sender, universes, seconds, hz);
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
        var (sent, took) = ReadSent(send);
        var share = (double)live.Received / Math.Max(1, live.Received - before);
        return new WireLoad(sent, live.Received, used * share, took, live.KernelDrops, allocated);
    }

    /// <summary>A program that prints "ready", and after some silence how many packets it took and the CPU seconds it used.</summary>
    public static WireLoad Of(string sender, int universes, double seconds, string program, string arguments, double hz = Hz)
    {
        using var receiver = Start(program, arguments);
        receiver.StandardOutput.ReadLine();
        using var send = Send(sender, universes, seconds, hz);
        send.WaitForExit();
        var (sent, took) = ReadSent(send);
        var words = receiver.StandardOutput.ReadToEnd().Split(' ', StringSplitOptions.TrimEntries);
        return new WireLoad(sent, long.Parse(words[0], CultureInfo.InvariantCulture), double.Parse(words[1], CultureInfo.InvariantCulture), took, 0, 0);
    }

    public static Process Start(string program, string arguments) =>
        Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardInput = true })!;

    public static (long Packets, double Seconds) ReadSent(Process sender)
    {
        var words = sender.StandardOutput.ReadToEnd().Split(' ', StringSplitOptions.TrimEntries);
        return (long.Parse(words[0], CultureInfo.InvariantCulture), double.Parse(words[1], CultureInfo.InvariantCulture));
    }

    private static Process Send(string sender, int universes, double seconds, double hz) =>
        Start(sender, string.Create(CultureInfo.InvariantCulture, $"{Port} {universes} {hz} {seconds}"));

    private sealed class CountingSink : ILevelsSink
    {
        public long Count { get; private set; }

        public void OnLevels(UniverseNumber universe, TimeSpan at, ReadOnlySpan<byte> levels) => Count++;
    }
}
