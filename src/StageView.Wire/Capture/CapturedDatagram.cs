using StageView.Wire.Datagrams;

namespace StageView.Wire.Capture;

/// <summary>One UDP datagram of a capture.</summary>
/// <param name="At">Time since the first record of the file.</param>
/// <param name="From">Sender.</param>
/// <param name="To">Destination.</param>
/// <param name="Payload">UDP payload; valid until the next one is read.</param>
public readonly record struct CapturedDatagram(TimeSpan At, SourceAddress From, SourceAddress To, ReadOnlyMemory<byte> Payload);
