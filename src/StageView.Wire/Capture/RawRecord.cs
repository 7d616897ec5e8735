namespace StageView.Wire.Capture;

/// <summary>One record of a capture file, still with its link layer.</summary>
/// <param name="Offset">Where it begins in the file.</param>
/// <param name="Ticks">Time stamp in 100 ns since 1970.</param>
/// <param name="LinkType">As registered for pcap and pcapng.</param>
/// <param name="Data">What was captured of the frame; valid until the next record is read.</param>
internal readonly record struct RawRecord(long Offset, long Ticks, int LinkType, ReadOnlyMemory<byte> Data);
