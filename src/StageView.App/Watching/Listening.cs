using StageView.Rig.Pieces;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Wire.Sockets;
using StageView.Wire.Universes;

namespace StageView.App.Watching;

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
