using StageView.Rig.Pieces;

namespace StageView.Show.Sources;

/// <summary>No levels at all: every fixture stands at its defaults.</summary>
public sealed class StillShow(RigScene rig) : ShowSource(rig)
{
    public override TimeSpan End() => TimeSpan.Zero;
}
