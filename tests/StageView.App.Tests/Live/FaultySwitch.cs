using System.Diagnostics;

namespace StageView.App.Tests.Live;

/// <summary>
/// A desk (10.77.9.3, in a network namespace of its own) behind a switch that sends each of its frames several times, in the console's namespace of
/// <see cref="NetworkSpaces"/>: what a loop or a second path does.
/// </summary>
internal sealed class FaultySwitch : IDisposable
{
    private readonly List<Process> _ways = [];

    /// <param name="spaces">The cable between it and this machine.</param>
    /// <param name="times">How often each frame of the desk comes out.</param>
    /// <param name="delay">Of all but the first, s.</param>
    public FaultySwitch(NetworkSpaces spaces, int times, double delay)
    {
        if (!File.Exists("/usr/bin/python3"))
        {
            Assert.Skip("python3 is missing: apt-get install python3");
        }

        Space = spaces.Console[..^1] + "d";
        var (desk, port) = (spaces.Console[..^1] + "2", spaces.Console[..^1] + "3");
        Ip($"netns add {Space}");
        Ip($"link add {desk} type veth peer name {port}");
        Ip($"link set {desk} netns {Space}");
        Ip($"link set {port} netns {spaces.Console}");
        Ip($"-n {Space} address add 10.77.9.3/24 dev {desk}");
        Ip($"-n {Space} link set {desk} up");
        Ip($"-n {Space} route add 224.0.0.0/4 dev {desk}");
        Ip($"-n {spaces.Console} link set {port} up");
        var cable = spaces.Console[..^1] + "1";
        Pass(spaces.Console, port, cable, times, delay);
        Pass(spaces.Console, cable, port, 1, 0);
    }

    /// <summary>The desk's namespace.</summary>
    public string Space { get; }

    public void Dispose()
    {
        foreach (var way in _ways)
        {
            way.Kill();
            way.Dispose();
        }

        Ip($"netns delete {Space}");
    }

    private void Pass(string space, string from, string to, int times, double delay)
    {
        var way = Process.Start(new ProcessStartInfo("ip", FormattableString.Invariant(
            $"netns exec {space} /usr/bin/python3 {Repo.File("tests", "independent", "loop.py")} {from} {to} {times} {delay}"))
        {
            RedirectStandardInput = true, RedirectStandardOutput = true,
        })!;
        _ways.Add(way);
        Assert.Equal("ready", way.StandardOutput.ReadLine());
    }

    private static void Ip(string words)
    {
        using var ip = Process.Start("ip", words);
        ip.WaitForExit();
    }
}
