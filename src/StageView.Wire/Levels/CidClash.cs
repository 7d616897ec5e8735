using System.Numerics;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;

namespace StageView.Wire.Levels;

/// <summary>
/// Tells two senders that share a CID from one that is heard by two ways. A CID is one component's alone (E1.31 §5.6), so receivers take both for
/// one and drop what seems late. Packets of one sender come by both ways with the same number and the same levels; those of two senders don't.
/// Kept from the second address on that a source of a universe sends from; of up to four.
/// </summary>
internal sealed class CidClash
{
    // Common practice, no source: enough packets that chance agreement of numbers (1 in 256) says nothing, and a third of a second at full rate.
    private const int Judged = 16;
    private const int Least = 8;
    private const int MostAlike = 1;
    private static readonly TimeSpan s_together = TimeSpan.FromSeconds(1);
    private readonly Way[] _ways = [new Way(), new Way(), new Way(), new Way()];

    /// <param name="first">The address known before.</param>
    /// <param name="heard">When it was heard last.</param>
    public CidClash(SourceAddress first, TimeSpan heard) => _ways[0].Begin(first, heard);

    /// <summary>Takes note of a packet, whether it is used or not.</summary>
    public void Note(SourceAddress from, byte sequence, ReadOnlySpan<byte> levels, TimeSpan at)
    {
        var way = Array.Find(_ways, w => w.Address == from) ?? _ways.MinBy(w => w.Heard)!;
        if (way.Address != from)
        {
            way.Begin(from, at);
        }

        var hash = new HashCode();
        hash.AddBytes(levels);
        var content = hash.ToHashCode();
        var (others, alike) = (false, false);
        foreach (var other in _ways)
        {
            if (other != way && at - other.Heard <= s_together)
            {
                (others, alike) = (true, alike || other.Has(sequence, content));
            }
        }

        if (others)
        {
            way.Alike = (ushort)((way.Alike << 1) | (alike ? 1 : 0));
            way.Seen = Math.Min(Judged, way.Seen + 1);
        }

        way.Keep(sequence, content, at);
    }

    /// <summary>The addresses of senders that are heard together and say different things; empty when there are no two.</summary>
    public IReadOnlyList<SourceAddress> Now(TimeSpan now)
    {
        var heard = _ways.Where(w => now - w.Heard <= E131Numbers.LossTimeout);
        SourceAddress[] apart = [.. heard.Where(w => w.Seen >= Least && BitOperations.PopCount(w.Alike) <= MostAlike).Select(w => w.Address)];
        return apart.Length > 1 ? apart : [];
    }

    private sealed class Way
    {
        private const int Kept = 32;
        private readonly int[] _content = new int[Kept];
        private readonly short[] _numbers = new short[Kept];
        private int _next;

        public SourceAddress Address { get; private set; }

        public TimeSpan Heard { get; private set; } = TimeSpan.MinValue / 2;

        public ushort Alike { get; set; }

        public int Seen { get; set; }

        public void Begin(SourceAddress address, TimeSpan at)
        {
            (Address, Heard, Alike, Seen) = (address, at, 0, 0);
            _numbers.AsSpan().Fill(-1);
        }

        public void Keep(byte number, int content, TimeSpan at)
        {
            (_numbers[_next], _content[_next]) = (number, content);
            _next = (_next + 1) % Kept;
            Heard = at;
        }

        public bool Has(byte number, int content)
        {
            for (var i = 0; i < Kept; i++)
            {
                if (_numbers[i] == number && _content[i] == content)
                {
                    return true;
                }
            }

            return false;
        }
    }
}
