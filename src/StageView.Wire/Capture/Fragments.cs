using System.Buffers.Binary;
using StageView.Wire.ArtNet;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;

namespace StageView.Wire.Capture;

/// <summary>
/// Puts fragments of UDP datagrams together (RFC 791, RFC 8200 §4.5), in whatever order they come. Bounded: 64 datagrams at a time, and what is not whole
/// after 30 s of the capture is given up.
/// </summary>
internal sealed class Fragments
{
    private const int Most = 64;
    private const int UdpHeader = 8;
    private static readonly TimeSpan s_given = TimeSpan.FromSeconds(30);
    private readonly Dictionary<(SourceAddress, SourceAddress, uint), Parts> _parts = [];
    private long _lost;

    /// <summary>Datagrams to a port of sACN or Art-Net whose beginning came and which are not whole.</summary>
    public long Lost => _lost + _parts.Values.Count(p => p.IsOfLevels);

    public void Clear() => _parts.Clear();

    /// <summary>Takes a fragment. True when its datagram is whole with it.</summary>
    /// <param name="fragment">A well-formed one.</param>
    /// <param name="at">Show time.</param>
    /// <param name="offset">Of its record.</param>
    /// <param name="whole">The datagram.</param>
    /// <param name="first">Where the record of its first fragment begins.</param>
    public bool TryJoin(in Fragment fragment, TimeSpan at, long offset, out CapturedDatagram whole, out long first)
    {
        (whole, first) = (default, offset);
        var end = fragment.Offset + fragment.Data.Length;
        var key = (fragment.From, fragment.To, fragment.Identification);
        if (_parts.TryGetValue(key, out var parts) && at - parts.Began > s_given)
        {
            GiveUp(key, parts);
            parts = null;
        }

        if (parts is null)
        {
            if (_parts.Count >= Most)
            {
                var oldest = _parts.MinBy(p => p.Value.Began);
                GiveUp(oldest.Key, oldest.Value);
            }

            _parts.Add(key, parts = new Parts(at, offset));
        }

        parts.Take(fragment, end);
        if (!parts.IsWhole)
        {
            return false;
        }

        _parts.Remove(key);
        var udp = parts.Bytes.AsSpan(0, parts.Length);
        var length = udp.Length < UdpHeader ? 0 : BinaryPrimitives.ReadUInt16BigEndian(udp[4..]);
        if (length < UdpHeader || length > udp.Length)
        {
            return false;
        }

        whole = new CapturedDatagram(at, fragment.From with { Port = BinaryPrimitives.ReadUInt16BigEndian(udp) },
            fragment.To with { Port = BinaryPrimitives.ReadUInt16BigEndian(udp[2..]) }, parts.Bytes.AsMemory(UdpHeader, length - UdpHeader));
        first = parts.First;
        return true;
    }

    private void GiveUp((SourceAddress, SourceAddress, uint) key, Parts parts)
    {
        _parts.Remove(key);
        _lost += parts.IsOfLevels ? 1 : 0;
    }

    private sealed class Parts(TimeSpan began, long first)
    {
        // For each 8 bytes, which is what offsets count in.
        private readonly bool[] _there = new bool[(Fragment.Longest / Fragment.Unit) + 1];
        private int _count;

        public byte[] Bytes { get; private set; } = new byte[2048];

        public TimeSpan Began => began;

        public long First => first;

        /// <summary>Once the last fragment came, else -1.</summary>
        public int Length { get; private set; } = -1;

        public bool IsWhole => Length >= 0 && _count >= (Length + Fragment.Unit - 1) / Fragment.Unit;

        public bool IsOfLevels => _there[0] && BinaryPrimitives.ReadUInt16BigEndian(Bytes.AsSpan(2)) is E131Numbers.Port or ArtNetNumbers.Port;

        public void Take(in Fragment fragment, int end)
        {
            if (Bytes.Length < end)
            {
                var larger = new byte[Math.Max(end, 2 * Bytes.Length)];
                Bytes.CopyTo(larger, 0);
                Bytes = larger;
            }

            fragment.Data.Span.CopyTo(Bytes.AsSpan(fragment.Offset));
            for (var unit = fragment.Offset / Fragment.Unit; unit * Fragment.Unit < end; unit++)
            {
                _count += _there[unit] ? 0 : 1;
                _there[unit] = true;
            }

            Length = fragment.More ? Length : end;
        }
    }
}
