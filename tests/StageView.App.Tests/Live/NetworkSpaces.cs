using System.Diagnostics;

namespace StageView.App.Tests.Live;

/// <summary>Two network namespaces joined by a cable: this machine (10.77.9.1) and a console (10.77.9.2). Nothing leaves them.</summary>
internal sealed class NetworkSpaces : IDisposable
{
    public const string Here = "10.77.9.1";
    private readonly string _name = "svt" + Environment.ProcessId;

    private NetworkSpaces()
    {
    }

    public string Machine => _name + "m";

    public string Console => _name + "c";

    /// <summary>Both, or a skip that says why there are none.</summary>
    public static NetworkSpaces Make()
    {
        var spaces = new NetworkSpaces();
        try
        {
            if (!(spaces.Try($"netns add {spaces.Machine}") && spaces.Try($"netns add {spaces.Console}")
                && spaces.Try($"link add {spaces._name}0 type veth peer name {spaces._name}1")
                && spaces.Try($"link set {spaces._name}0 netns {spaces.Machine}") && spaces.Try($"link set {spaces._name}1 netns {spaces.Console}")
                && spaces.Try($"-n {spaces.Machine} address add {Here}/24 dev {spaces._name}0")
                && spaces.Try($"-n {spaces.Console} address add 10.77.9.2/24 dev {spaces._name}1")
                && spaces.Try($"-n {spaces.Machine} link set lo up")))
            {
                spaces.Dispose();
                Assert.Skip("network namespaces can't be made here: that takes root and iproute2");
            }
        }
        catch (System.ComponentModel.Win32Exception)
        {
            Assert.Skip("ip is missing: apt-get install iproute2");
        }

        spaces.Cable(true);
        spaces.Interface(true);
        return spaces;
    }

    /// <summary>The console's end of the cable: out is no carrier here.</summary>
    public void Cable(bool plugged) => Assert.True(Try($"-n {Console} link set {_name}1 {(plugged ? "up" : "down")}"));

    /// <summary>This machine's interface, as its user switches it.</summary>
    public void Interface(bool up) => Assert.True(Try($"-n {Machine} link set {_name}0 {(up ? "up" : "down")}"));

    /// <summary>Gives this machine's interface one more address.</summary>
    public void AddAddress(string address) => Assert.True(Try($"-n {Machine} address add {address}/24 dev {_name}0"));

    public void Dispose()
    {
        Try($"netns delete {Machine}");
        Try($"netns delete {Console}");
    }

    private bool Try(string words)
    {
        using var ip = Process.Start(new ProcessStartInfo("ip", words) { RedirectStandardError = true })!;
        ip.WaitForExit();
        return ip.ExitCode == 0;
    }
}
