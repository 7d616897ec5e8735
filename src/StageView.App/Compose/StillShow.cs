using StageView.Rig;

namespace StageView.App.Compose;

/// <summary>No levels at all: every fixture stands at its defaults.</summary>
internal sealed class StillShow(RigScene rig) : LevelSource(rig)
{
    public override TimeSpan End() => TimeSpan.Zero;
}
