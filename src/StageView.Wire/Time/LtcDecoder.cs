using StageView.Wire.Clock;

namespace StageView.Wire.Time;

/// <summary>
/// Reads linear timecode (SMPTE 12M) out of sound: 80 bits a frame in biphase mark, so a bit is one long or two short stretches
/// between changes of sign, whatever the polarity. The level may be low, the speed may differ from the nominal and drift.
/// Pure state over samples; feed blocks of any length in order.
/// </summary>
public sealed class LtcDecoder
{
    private const int FrameBits = 80;
    private const ushort SyncWord = 0xBFFC;
    private const int Learned = 192;

    private readonly double _sampleRate;
    private readonly Action<TimecodeAt> _found;
    private readonly float[] _stretches = new float[Learned];
    private readonly double[] _bitStarts = new double[FrameBits];
    private long _position;
    private float _high;
    private float _low;
    private float _last;
    private bool _positive;
    private double _lastChange = -1;
    private int _stretchCount;
    private double _bit;
    private double _halfBegan = -1;
    private ulong _bits;
    private ushort _tail;
    private long _bitCount;
    private int _sinceSync;
    private int _highestFrame;
    private bool _drop;
    private Timecode? _before;

    /// <param name="sampleRate">Samples a second.</param>
    /// <param name="found">Is told each frame as soon as it is complete; its time is that of the frame's first bit.</param>
    public LtcDecoder(double sampleRate, Action<TimecodeAt> found)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(sampleRate);
        _sampleRate = sampleRate;
        _found = found;
    }

    /// <summary>The rate that the labels are counted by, once known: from the drop-frame flag and the highest frame number before a second's turn.</summary>
    public TimecodeRate? Rate { get; private set; }

    /// <summary>Frames found.</summary>
    public long Frames { get; private set; }

    /// <summary>Times that the bits lost their sync word after having had it.</summary>
    public long Losses { get; private set; }

    /// <param name="samples">One channel, any scale.</param>
    public void Feed(ReadOnlySpan<float> samples)
    {
        foreach (var sample in samples)
        {
            // The envelope forgets with a time constant of some bits, so that a change of level or offset is followed.
            _high = Math.Max(sample, _high + ((sample - _high) * 0.002f));
            _low = Math.Min(sample, _low + ((sample - _low) * 0.002f));
            var middle = (_high + _low) / 2;
            var guard = (_high - _low) * 0.12f;
            if (_positive ? sample < middle - guard : sample > middle + guard)
            {
                // Where the line between the two samples crosses the middle.
                var step = sample - _last;
                var back = step == 0 ? 0 : Math.Clamp((sample - middle) / step, 0, 1);
                _positive = !_positive;
                Change(_position - back);
            }

            _last = sample;
            _position++;
        }
    }

    private void Change(double at)
    {
        if (_lastChange < 0)
        {
            _lastChange = at;
            return;
        }

        var stretch = at - _lastChange;
        var began = _lastChange;
        _lastChange = at;
        _stretches[_stretchCount++ % Learned] = (float)stretch;
        if (_bit == 0 || stretch > 4 * _bit)
        {
            Lose();
            Learn();
            return;
        }

        if (stretch > 0.75 * _bit)
        {
            // A long stretch within a half bit begun: the half was the second of its bit.
            _halfBegan = -1;
            _bit += (stretch - _bit) * 0.1;
            Bit(0, began);
        }
        else if (_halfBegan < 0)
        {
            _halfBegan = began;
        }
        else
        {
            _bit += (at - _halfBegan - _bit) * 0.1;
            Bit(1, _halfBegan);
            _halfBegan = -1;
        }

        if (_sinceSync > 3 * FrameBits)
        {
            Lose();
            Learn();
        }
    }

    // Two kinds of stretches, one twice the other: their tenth and ninetieth share tell them apart.
    private void Learn()
    {
        var count = Math.Min(_stretchCount, Learned);
        if (count < 48)
        {
            return;
        }

        Span<float> sorted = stackalloc float[Learned];
        _stretches.AsSpan(0, count).CopyTo(sorted);
        sorted = sorted[..count];
        sorted.Sort();
        var shortest = sorted[count / 10];
        var longest = sorted[count * 9 / 10];
        if (longest < 1.5 * shortest || longest > 3 * shortest)
        {
            _bit = 0;
            return;
        }

        _bit = longest;
        _halfBegan = -1;
        _sinceSync = 0;
    }

    private void Lose()
    {
        if (_before is not null)
        {
            Losses++;
        }

        _before = null;
        _bitCount = 0;
        _halfBegan = -1;
        _bit = 0;
    }

    private void Bit(int bit, double began)
    {
        // 80 bits in order of arrival, the latest at the top: the last 16 in _tail, the 64 before in _bits.
        _bits = (_bits >> 1) | ((ulong)(_tail & 1) << 63);
        _tail = (ushort)((_tail >> 1) | (bit << 15));
        _bitStarts[_bitCount % FrameBits] = began;
        _bitCount++;
        _sinceSync++;
        if (_tail == SyncWord && _bitCount >= FrameBits)
        {
            Frame(_bitStarts[_bitCount % FrameBits]);
        }
    }

    private void Frame(double began)
    {
        _sinceSync = 0;
        int Field(int at, int bits) => (int)((_bits >> at) & ((1u << bits) - 1));
        var frames = Field(0, 4) + (10 * Field(8, 2));
        var seconds = Field(16, 4) + (10 * Field(24, 3));
        var minutes = Field(32, 4) + (10 * Field(40, 3));
        var hours = Field(48, 4) + (10 * Field(56, 2));
        var drop = Field(10, 1) != 0;
        if (Field(0, 4) > 9 || Field(16, 4) > 9 || Field(32, 4) > 9 || Field(48, 4) > 9 || frames > 29 || seconds > 59 || minutes > 59 || hours > 23)
        {
            return;
        }

        if (drop != _drop)
        {
            _drop = drop;
            Rate = null;
            _before = null;
        }

        _highestFrame = Math.Max(_highestFrame, frames);
        if (drop)
        {
            Rate = TimecodeRate.Drop2997;
        }
        else if (_before is { } before && before.Frames > frames && frames == 0)
        {
            Rate = before.Frames switch { 23 => TimecodeRate.Film24, 24 => TimecodeRate.Ebu25, 29 => TimecodeRate.Smpte30, _ => Rate };
        }

        // Before the first turn of a second, the length of a frame tells the rate of sound that runs at its own speed.
        var measured = _sampleRate / (FrameBits * _bit);
        var rate = Rate ?? (measured < 24.5 && _highestFrame < 24 ? TimecodeRate.Film24
            : measured < 27.5 && _highestFrame < 25 ? TimecodeRate.Ebu25 : TimecodeRate.Smpte30);
        var label = new Timecode(hours, minutes, seconds, frames, rate);
        _before = label;
        if (label.IsValid)
        {
            Frames++;
            _found(new TimecodeAt(TimeSpan.FromSeconds(began / _sampleRate), label));
        }
    }
}
