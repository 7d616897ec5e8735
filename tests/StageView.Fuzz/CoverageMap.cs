using System.Numerics;
using System.Runtime.InteropServices;
using SharpFuzz.Common;

namespace StageView.Fuzz;

/// <summary>The ways that instrumented code takes from one block to the next: a count for each of 65,536 places (the layout that SharpFuzz writes).</summary>
internal sealed unsafe class CoverageMap
{
    private const int Places = 65_536;

    private readonly byte* _now = (byte*)NativeMemory.AllocZeroed(Places);

    /// <summary>Per place, the magnitudes of its count that have been seen, a bit each.</summary>
    private readonly byte[] _seen = new byte[Places];

    public CoverageMap() => Trace.SharedMem = _now;

    /// <summary>Ways taken so far by any input.</summary>
    public int Edges { get; private set; }

    public void Clear()
    {
        new Span<byte>(_now, Places).Clear();
        Trace.PrevLocation = 0;
    }

    /// <summary>Whether the input just run went a new way, or one clearly more or less often.</summary>
    public bool Add()
    {
        var found = false;
        var words = new ReadOnlySpan<ulong>(_now, Places / 8);
        for (var w = 0; w < words.Length; w++)
        {
            if (words[w] == 0)
            {
                continue;
            }

            for (var i = 8 * w; i < (8 * w) + 8; i++)
            {
                if (_now[i] == 0)
                {
                    continue;
                }

                var size = (byte)(1 << BitOperations.Log2(_now[i]));
                if ((_seen[i] & size) == 0)
                {
                    Edges += _seen[i] == 0 ? 1 : 0;
                    _seen[i] |= size;
                    found = true;
                }
            }
        }

        return found;
    }
}
