namespace StageView.Wire.E131;

/// <summary>Which E1.31 packet a datagram claims to be.</summary>
public enum E131PacketKind
{
    None,
    Data,
    Sync,
    Discovery,
}
