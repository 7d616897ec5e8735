using StageView.Rig.Pieces;
using StageView.Wire.Sockets;

namespace StageView.Show.Sources;

/// <summary>Levels heard on the network for a while.</summary>
public sealed class ListenedShow : ShowSource
{
    private readonly TimeSpan _end;

    /// <param name="rig">The rig.</param>
    /// <param name="length">How long to listen; this waits for it.</param>
    /// <exception cref="ListenException">A port is in use or an address isn't this machine's.</exception>
    public ListenedShow(RigScene rig, TimeSpan length)
        : base(rig)
    {
        using var source = ShowListener.Open(rig, [], Stage);
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
