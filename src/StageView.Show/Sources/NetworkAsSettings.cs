using StageView.Rig.Pieces;
using StageView.Wire.Levels;

namespace StageView.Show.Sources;

/// <summary>The scene file's word on the network, as the wire room takes it.</summary>
public static class NetworkAsSettings
{
    public static WireSettings ToWireSettings(this NetworkSettings network) => new()
    {
        ArtNet = network.ArtNet,
        Tie = ToTie(network.Merge),
        TieByUniverse = network.MergeByUniverse.ToDictionary(m => m.Key, m => ToTie(m.Value)),
        PerAddressPriority = network.PerAddressPriority,
        AcceptPreview = network.AcceptPreview,
    };

    private static TieRule ToTie(MergeRule rule) => rule == MergeRule.Ltp ? TieRule.Ltp : TieRule.Htp;
}
