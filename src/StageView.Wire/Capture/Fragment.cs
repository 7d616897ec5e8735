using StageView.Wire.Datagrams;

namespace StageView.Wire.Capture;

/// <summary>A part of a UDP datagram.</summary>
/// <param name="From">Who sent it, without a port.</param>
/// <param name="To">Where it went, without a port.</param>
/// <param name="Identification">The same in all parts of one datagram.</param>
/// <param name="Offset">Bytes of the datagram before it.</param>
/// <param name="More">Whether others follow.</param>
/// <param name="Data">Its bytes.</param>
internal readonly record struct Fragment(SourceAddress From, SourceAddress To, uint Identification, int Offset, bool More, ReadOnlyMemory<byte> Data)
{
    /// <summary>Bytes that offsets count in.</summary>
    public const int Unit = 8;

    /// <summary>No datagram is longer.</summary>
    public const int Longest = 65_535;

    /// <summary>Whether it ends within a datagram's bounds, and where others follow on a whole unit.</summary>
    public bool IsWellFormed => Offset + Data.Length <= Longest && (!More || Data.Length % Unit == 0);
}
