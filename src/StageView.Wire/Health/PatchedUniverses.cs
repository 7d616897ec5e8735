namespace StageView.Wire.Health;

/// <summary>What the rig uses of the network: each patched universe and its highest used address.</summary>
/// <param name="Highest">Highest used address (1 to 512) by universe number.</param>
public sealed record PatchedUniverses(IReadOnlyDictionary<int, int> Highest)
{
    public static PatchedUniverses None { get; } = new(new Dictionary<int, int>());
}
