using System.Globalization;
using System.Text.Json.Serialization;
using StageView.Rig.Pieces;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Wire.Clock;
using StageView.Wire.Health;
using StageView.Wire.Sockets;
using StageView.Wire.Tallies;
using StageView.Wire.Time;

namespace StageView.Show.Questions;

/// <summary>What is heard on the network at one instant, and what is wrong with it.</summary>
public sealed record NetworkLook(WireHealth Health, TimecodeHealth? Timecode, IReadOnlyList<Finding> Findings)
{
    /// <summary>Why a look without findings says nothing; null when it says that nothing wrong was found.</summary>
    [JsonIgnore]
    public string? SaysNothing =>
        Health.Received == 0 ? string.Create(CultureInfo.InvariantCulture, $"nothing was heard in {Health.At:F1} s, so nothing can be said")
        : Health.At < FindingRules.SilentAfterSeconds ? string.Create(CultureInfo.InvariantCulture,
            $"watched for {Health.At:F1} s: a universe counts as silent after {FindingRules.SilentAfterSeconds:F0} s, so watch for longer")
        : null;
}

/// <summary>Listens to the network as a rig asks for it, and says again and again what is heard.</summary>
public sealed class NetworkWatch : IDisposable
{
    private readonly LiveSource _source;
    private readonly WireMeters _meters;
    private readonly TimecodeTap _timecode;
    private readonly HealthWatch _watch;

    /// <param name="rig">The rig.</param>
    /// <param name="addresses">Addresses of this machine to listen at beside loopback and the rig's.</param>
    /// <param name="offered">Whether universes that senders offer are joined though nothing is patched there.</param>
    /// <param name="freewheel">How long timecode runs on by itself when none comes.</param>
    /// <exception cref="ListenException">A port is in use or an address isn't this machine's.</exception>
    public NetworkWatch(RigScene rig, IReadOnlyCollection<string> addresses, bool offered, TimeSpan freewheel)
    {
        _source = ShowListener.Open(rig, addresses, null, offered);
        _meters = new WireMeters(_source);
        _timecode = new TimecodeTap(freewheel);
        _source.Tap(_timecode);
        _watch = new HealthWatch(Patches.Of(rig));
    }

    /// <summary>What the user should know of the sockets, a text each.</summary>
    public IReadOnlyList<string> Notes => _source.Notes;

    /// <summary>What is heard now. One caller at a time.</summary>
    public NetworkLook Look()
    {
        var drops = _source.KernelDrops;
        var shared = _source.SharedPorts;
        var health = _source.Read(m =>
        {
            // Silence is time, too.
            m.Advance(_source.Now);
            return _watch.Look(m, drops, shared);
        });
        return new NetworkLook(health, _timecode.Read(_source.Now), _watch.Findings(health));
    }

    public void Dispose()
    {
        _meters.Dispose();
        _source.Dispose();
    }
}
