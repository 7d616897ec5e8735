using StageView.Rig;
using StageView.Wire.Sockets;

namespace StageView.App.Compose;

/// <summary>Levels heard on the network for a while.</summary>
internal sealed class ListenedShow : LevelSource
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
            Console.Error.WriteLine("stageview: " + note);
        }

        Task.Delay(length).GetAwaiter().GetResult();
        _end = source.Now;
        if (source.Received == 0)
        {
            Console.Error.WriteLine("stageview: nothing was heard on the network: the frame shows the fixtures' defaults");
        }
    }

    public override TimeSpan End() => _end;
}
