using StageView.Wire.Datagrams;

namespace StageView.Wire.E131;

/// <summary>An E1.31 synchronisation packet (§6.3).</summary>
/// <param name="Cid">Who sent it.</param>
/// <param name="Sequence">Sequence number of its synchronisation address.</param>
/// <param name="SyncAddress">1 to 63999; packets with 0 are refused (§6.3.3.1).</param>
public readonly record struct E131SyncPacket(Cid Cid, byte Sequence, ushort SyncAddress);
