using System.Numerics;
using StageView.Wire.Universes;

namespace StageView.Wire.Levels;

/// <summary>
/// The merge of one universe, address by address. Each source brings a rank for each address: 0 where it doesn't source the
/// address, else its priority + 1. The highest rank wins; equal ranks meet by HTP or LTP.
/// </summary>
internal static class LevelFold
{
    public const int Size = UniverseAddress.AddressesPerUniverse;

    /// <summary>Folds one source into what earlier ones gave. Order of sources doesn't matter.</summary>
    /// <param name="best">Highest rank so far, 512.</param>
    /// <param name="levels">Levels at that rank, 512; 0 where the rank is 0.</param>
    /// <param name="ranks">This source's ranks, 512.</param>
    /// <param name="source">This source's levels, 512.</param>
    public static void Htp(Span<byte> best, Span<byte> levels, ReadOnlySpan<byte> ranks, ReadOnlySpan<byte> source)
    {
        for (var i = 0; i < Size; i += Vector<byte>.Count)
        {
            var rank = new Vector<byte>(ranks[i..]);
            var sourced = Vector.AndNot(new Vector<byte>(source[i..]), Vector.Equals(rank, Vector<byte>.Zero));
            var highest = new Vector<byte>(best[i..]);
            var level = new Vector<byte>(levels[i..]);
            var tied = Vector.ConditionalSelect(Vector.Equals(rank, highest), Vector.Max(level, sourced), level);
            Vector.ConditionalSelect(Vector.GreaterThan(rank, highest), sourced, tied).CopyTo(levels[i..]);
            Vector.Max(rank, highest).CopyTo(best[i..]);
        }
    }

    /// <summary>The same with LTP.</summary>
    /// <param name="latest">Stamp of the level so far, 512.</param>
    /// <param name="stamps">When this source changed each level, as a running number, 512.</param>
    public static void Ltp(Span<byte> best, Span<byte> levels, Span<uint> latest, ReadOnlySpan<byte> ranks, ReadOnlySpan<byte> source,
        ReadOnlySpan<uint> stamps)
    {
        for (var i = 0; i < Size; i++)
        {
            if (ranks[i] == 0 || ranks[i] < best[i] || (ranks[i] == best[i] && stamps[i] <= latest[i]))
            {
                continue;
            }

            best[i] = ranks[i];
            levels[i] = source[i];
            latest[i] = stamps[i];
        }
    }
}
