using StageView.Rig.Pieces;
using StageView.Show.Rigs;
using StageView.Wire.Sockets;

namespace StageView.Show.Sources;

/// <summary>Levels heard on the network for a while.</summary>
internal sealed class ListenedShow : ShowSource
{
    private readonly TimeSpan _end;

    /// <exception cref="ListenException">A port is in use or an address isn't this machine's.</exception>
    public ListenedShow(RigScene rig, TimeSpan length)
        : base(rig)
    {
        using var source = LiveSource.Listen(
            rig.Network.ToWireSettings(), Universes.Patched(rig), [ListenOptions.Loopback, .. rig.Network.Listen], Stage, TimeProvider.System);
        foreach (var note in source.Notes)
        {
            Notes.Add(note);
        }

        Task.Delay(length).GetAwaiter().GetResult();
        _end = source.Now;
        if (source.Received == 0)
        {
            Notes.Add("nothing was heard on the network: the frame shows the fixtures' defaults");
        }
    }

    public override TimeSpan End() => _end;
}
