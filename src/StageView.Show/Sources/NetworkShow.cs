using StageView.Rig.Pieces;

namespace StageView.Show.Sources;

/// <summary>Levels as the network sends them now, by way of a desk that several rigs may follow one another at.</summary>
public sealed class NetworkShow : ShowSource
{
    private readonly LevelsDesk _desk;

    /// <param name="rig">The rig.</param>
    /// <param name="desk">Feeds this show from now on, beginning with the newest levels that it knows.</param>
    /// <param name="keepHistory">Whether any earlier time can be asked for.</param>
    public NetworkShow(RigScene rig, LevelsDesk desk, bool keepHistory = false)
        : base(rig, keepHistory)
    {
        _desk = desk;
        desk.Feed(Stage);
    }

    /// <inheritdoc/>
    public override TimeSpan End() => _desk.At;

    protected override void Close() => _desk.Leave(Stage);
}
