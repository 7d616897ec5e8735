using StageView.App.Compose;
using StageView.Rig;
using StageView.Wire;
using StageView.Wire.Sockets;

namespace StageView.App.Watch;

/// <summary>Opens the network as a rig file asks for it.</summary>
internal static class Listening
{
    public static LiveSource To(RigScene rig, IReadOnlyCollection<string> addresses, ILevelsSink? sink, CancellationToken stop)
    {
        var source = LiveSource.Listen(
            rig.Network.ToWireSettings(),
            Universes.Patched(rig),
            [ListenOptions.Loopback, .. rig.Network.Listen, .. addresses],
            sink,
            TimeProvider.System,
            stop);
        foreach (var note in source.Notes)
        {
            Console.Error.WriteLine("stageview: " + note);
        }

        return source;
    }
}
