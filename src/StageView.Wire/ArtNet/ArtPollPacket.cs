namespace StageView.Wire.ArtNet;

/// <summary>An ArtPoll: a controller asks who is there.</summary>
/// <param name="Targeted">Only nodes with a port-address from <paramref name="Bottom"/> to <paramref name="Top"/> shall answer.</param>
/// <param name="Bottom">Lowest port-address.</param>
/// <param name="Top">Highest port-address.</param>
public readonly record struct ArtPollPacket(bool Targeted, ushort Bottom, ushort Top);
