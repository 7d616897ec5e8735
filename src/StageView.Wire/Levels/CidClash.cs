using System.Numerics;
using StageView.Wire.Datagrams;

namespace StageView.Wire.Levels;

/// <summary>
/// Tells two senders that share a CID from one that is heard by two ways. A CID is one component's alone (E1.31 §5.6), so receivers take both for
/// one and drop what seems late. Packets of one sender come by both ways with the same number and the same levels; those of two senders don't.
/// Kept from the second address on that a source of a universe sends from.
/// </summary>
internal sealed class CidClash
{
    // Common practice, no source: enough packets that chance agreement of numbers (1 in 256) says nothing, and a third of a second at full rate.
    private const int Judged = 16;
    private const int Least = 8;
    private const int MostAlike = 1;
    private static readonly TimeSpan s_together = TimeSpan.FromSeconds(1);
    private readonly Way[] _ways = [new Way(), new Way()];

    /// <param name="first">The address known before.</param>
    /// <param name="heard">When it was heard last.</param>
    public CidClash(SourceAddress first, TimeSpan heard) => _ways[0].Begin(first, heard);

    /// <summary>Takes note of a packet, whether it is used or not.</summary>
    public void Note(SourceAddress from, byte sequence, ReadOnlySpan<byte> levels, TimeSpan at)
    {
        var own = _ways[0].Address == from ? 0 : _ways[1].Address == from ? 1 : _ways[0].Heard <= _ways[1].Heard ? 0 : 1;
        var (way, other) = (_ways[own], _ways[1 - own]);
        if (way.Address != from)
        {
            way.Begin(from, at);
        }

        var hash = new HashCode();
        hash.AddBytes(levels);
        var content = hash.ToHashCode();
        if (at - other.Heard <= s_together)
        {
            way.Alike = (ushort)((way.Alike << 1) | (other.Has(sequence, content) ? 1 : 0));
            way.Seen = Math.Min(Judged, way.Seen + 1);
        }

        way.Keep(sequence, content, at);
    }

    /// <summary>The two senders' addresses while they are heard together; null when there are no two.</summary>
    public (SourceAddress First, SourceAddress Second)? Now(TimeSpan now) =>
        Array.TrueForAll(_ways, w => w.Seen >= Least && now - w.Heard <= E131.E131Numbers.LossTimeout && BitOperations.PopCount(w.Alike) <= MostAlike)
            ? (_ways[0].Address, _ways[1].Address) : null;

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
