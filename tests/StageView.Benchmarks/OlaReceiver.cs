using System.Diagnostics;
using System.Globalization;

namespace StageView.Benchmarks;

/// <summary>Debian's olad as a receiver, in a network namespace (<c>tests/independent/ola_receive.sh</c>); needs root.</summary>
internal sealed class OlaReceiver : IDisposable
{
    private readonly Process _script;
    private readonly string _process;
    private readonly string _namespace;
    private readonly string _address;

    private OlaReceiver(Process script, string process, string name, string address) =>
        (_script, _process, _namespace, _address) = (script, process, name, address);

    /// <summary>Null where olad, iproute2 or the rights are missing.</summary>
    public static OlaReceiver? TryStart(int universes)
    {
        if (Environment.UserName != "root" || !File.Exists("/usr/bin/olad"))
        {
            return null;
        }

        var script = WireLoad.Start("bash", $"{Path.Combine(WireLoad.Root, "tests", "independent", "ola_receive.sh")} {universes}");
        var words = script.StandardOutput.ReadLine()?.Split(' ');
        if (words is not ["ready", var process, var name, var address])
        {
            script.Dispose();
            return null;
        }

        return new OlaReceiver(script, process, name, address);
    }

    public WireLoad Run(string sender, int universes, double seconds)
    {
        var (cpu, drops) = (Cpu(), Drops());
        using var send = WireLoad.Start("ip",
            string.Create(CultureInfo.InvariantCulture, $"netns exec {_namespace} {sender} 5568 {universes} {WireLoad.Hz} {seconds} {_address}"));
        send.WaitForExit();
        var (sent, took) = WireLoad.ReadSent(send);
        // What waits in its buffer is taken before the time is read.
        Task.Delay(500).Wait();
        var lost = Drops() - drops;
        return new WireLoad(sent, sent - lost, Cpu() - cpu, took, lost, 0);
    }

    public void Dispose()
    {
        _script.StandardInput.Close();
        _script.WaitForExit();
        _script.Dispose();
    }

    // utime and stime, fields 14 and 15, in ticks of a hundredth of a second (the kernel's USER_HZ).
    private double Cpu()
    {
        var text = File.ReadAllText($"/proc/{_process}/stat");
        var fields = text[(text.LastIndexOf(')') + 2)..].Split(' ');
        return (long.Parse(fields[11], CultureInfo.InvariantCulture) + long.Parse(fields[12], CultureInfo.InvariantCulture)) / 100.0;
    }

    // The last column of the socket on port 5568 (15C0).
    private long Drops() =>
        File.ReadLines($"/proc/{_process}/net/udp").Where(l => l.Contains(":15C0", StringComparison.Ordinal))
            .Sum(l => long.Parse(l.TrimEnd().Split(' ')[^1], CultureInfo.InvariantCulture));
}
