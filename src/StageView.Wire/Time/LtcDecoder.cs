using StageView.Wire.Clock;

namespace StageView.Wire.Time;

/// <summary>
/// Reads linear timecode (SMPTE 12M) out of sound: 80 bits a frame in biphase mark, so a bit is one long or two short stretches
/// between changes of sign, whatever the polarity and whichever way the tape runs. The level may be low, the speed may differ from the
/// nominal and drift. What comes before the length of a bit is known is kept and read then, so that the first frame is not lost.
/// A label is told once another one bears it out: the one before, or else the next.
/// Pure state over samples; feed blocks of any length in order.
/// </summary>
public sealed class LtcDecoder
{
    private const int FrameBits = 80;

    // 0011 1111 1111 1101 in order of arrival; it ends a frame that runs forwards and, turned round, begins one that runs backwards.
    private const ushort SyncWord = 0xBFFC;
    private const ushort SyncBackwards = 0x3FFD;
    private const int Learned = 192;

    // As many bits without a sync word tell that the length of a bit was wrong; each is at most two stretches, and they are read again.
    private const int MostBitsWithoutSync = 3 * FrameBits;
    private const int Kept = 1024;

    // A label may be borne out over so many frames that could not be read.
    private const int MostFramesBetween = 25;

    private readonly double _sampleRate;
    private readonly double _longest;
    private readonly Action<TimecodeAt> _found;
    private readonly (double Began, float Length)[] _stretches = new (double, float)[Kept];
    private readonly double[] _bitStarts = new double[FrameBits];
    private long _position;
    private float _high;
    private float _low;
    private float _last;
    private int _sign;
    private double _lastChange = double.NaN;
    private long _stretchCount;
    private long _taken;
    private long _unread;
    private double _bit;
    private double _halfBegan = double.NaN;
    private ulong _bits;
    private ushort _tail;
    private long _bitCount;
    private int _sinceSync;
    private bool _isSure;
    private bool _isReading;
    private bool _wantsAgain;
    private int _highestFrame;
    private bool _drop;
    private Reading? _before;
    private bool _isBorneOut;

    /// <param name="sampleRate">Samples a second.</param>
    /// <param name="found">
    /// Is told each frame as soon as it is complete and borne out, in order of time; its time is when it begins in the sound, also where it runs backwards.
    /// </param>
    public LtcDecoder(double sampleRate, Action<TimecodeAt> found)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(sampleRate);
        _sampleRate = sampleRate;

        // Longer than a bit at a twentieth of the speed of 24 frames a second is silence.
        _longest = sampleRate / (24 * FrameBits) * 20;
        _found = found;
    }

    /// <summary>The rate that the labels are counted by, once known: from the drop-frame flag and the highest frame number before a second's turn.</summary>
    public TimecodeRate? Rate { get; private set; }

    /// <summary>Frames found.</summary>
    public long Frames { get; private set; }

    /// <summary>Times that the bits lost their sync word after having had it.</summary>
    public long Losses { get; private set; }

    /// <summary>Whether the latest frame found ran backwards.</summary>
    public bool IsBackwards { get; private set; }

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
            var step = sample - _last;
            if (_position - _lastChange > _longest)
            {
                _sign = 0;
            }

            // Out of silence a bit may begin either way, and nothing moves before.
            var side = sample > middle + guard ? 1 : sample < middle - guard ? -1 : 0;
            if (side != 0 && side != _sign && (_sign != 0 || step * side > 0.02f * (_high - _low)))
            {
                // Where the line between the two samples crosses the middle.
                var back = step == 0 ? 0 : Math.Clamp((sample - middle) / step, 0, 1);
                _sign = side;
                Change(_position - back);
            }

            _last = sample;
            _position++;
        }
    }

    private void Change(double at)
    {
        var began = _lastChange;
        _lastChange = at;
        if (double.IsNaN(began))
        {
            return;
        }

        var stretch = (float)(at - began);
        _stretches[_stretchCount++ % Kept] = (began, stretch);
        if (_bit > 0 && stretch <= 4 * _bit)
        {
            _taken = _stretchCount;
            Take(began, stretch);
            if (_wantsAgain)
            {
                ReadAgain();
                return;
            }

            if (_sinceSync <= MostBitsWithoutSync)
            {
                return;
            }
        }

        Lose();
        if (Learn())
        {
            ReadAgain();
        }
    }

    /// <summary>Two kinds of stretches, one twice the other: their tenth and ninetieth share tell them apart.</summary>
    private bool Learn()
    {
        var count = (int)Math.Min(_stretchCount, Learned);
        if (count < 48)
        {
            return false;
        }

        Span<float> sorted = stackalloc float[Learned];
        sorted = sorted[..count];
        for (var i = 0; i < count; i++)
        {
            sorted[i] = _stretches[(_stretchCount - count + i) % Kept].Length;
        }

        sorted.Sort();
        var shortest = sorted[count / 10];
        var longest = sorted[count * 9 / 10];
        if (longest < 1.5 * shortest || longest > 3 * shortest)
        {
            return false;
        }

        _bit = longest;
        return true;
    }

    /// <summary>Reads what came since the last frame with the length of a bit that is known now.</summary>
    private void ReadAgain()
    {
        var length = _bit;
        _isReading = true;
        Break();
        for (var i = Math.Max(_unread, _stretchCount - Kept); i < _stretchCount; i++)
        {
            var (began, stretch) = _stretches[i % Kept];
            if (stretch > 1.5 * length)
            {
                // What came before was something else.
                Break();
                continue;
            }

            // Hiss before the tape begins must not teach another length.
            _taken = i + 1;
            Take(began, stretch);
            _bit = Math.Clamp(_bit, 0.8 * length, 1.25 * length);
        }

        (_isReading, _wantsAgain) = (false, false);
    }

    private void Break()
    {
        _before = null;
        _bitCount = 0;
        _sinceSync = 0;
        _halfBegan = double.NaN;
    }

    private void Lose()
    {
        if (_before is not null)
        {
            Losses++;
        }

        Break();
        _isSure = false;
        _bit = 0;
    }

    private void Take(double began, double stretch)
    {
        if (stretch > 0.75 * _bit)
        {
            // A long stretch within a half bit begun: the half was the second of its bit.
            _halfBegan = double.NaN;
            _bit += (stretch - _bit) * 0.1;
            Bit(0, began);
        }
        else if (double.IsNaN(_halfBegan))
        {
            _halfBegan = began;
        }
        else
        {
            _bit += (began + stretch - _halfBegan - _bit) * 0.1;
            Bit(1, _halfBegan);
            _halfBegan = double.NaN;
        }
    }

    private void Bit(int bit, double began)
    {
        // 80 bits in order of arrival, the latest at the top: the last 16 in _tail, the 64 before in _bits.
        _bits = (_bits >> 1) | ((ulong)(_tail & 1) << 63);
        _tail = (ushort)((_tail >> 1) | (bit << 15));
        _bitStarts[_bitCount % FrameBits] = began;
        _bitCount++;
        _sinceSync++;
        var backwards = (ushort)_bits == SyncBackwards;
        if (_bitCount < FrameBits || (_tail != SyncWord && !backwards))
        {
            return;
        }

        _sinceSync = 0;
        if (!_isSure)
        {
            // The first sync word says that the length is right: a frame before it may have been passed over while it was not.
            _isSure = true;
            _wantsAgain = !_isReading;
            if (_wantsAgain)
            {
                return;
            }
        }

        if (_tail == SyncWord)
        {
            Frame(_bits, false);
        }
        else
        {
            Frame(Turned((_bits >> 16) | ((ulong)_tail << 48)), true);
        }
    }

    /// <param name="bits">Bits 0 to 63 of the frame, bit 0 lowest.</param>
    /// <param name="backwards">Whether its last bit came first.</param>
    private void Frame(ulong bits, bool backwards)
    {
        _unread = _taken;
        int Field(int at, int count) => (int)((bits >> at) & ((1u << count) - 1));
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
        var label = new Timecode(hours, minutes, seconds, frames, TimecodeRate.Smpte30);
        Rate = drop ? TimecodeRate.Drop2997 : Turn(label, backwards) ?? Rate;

        // Before the first turn of a second, the length of a frame tells the rate of sound that runs at its own speed.
        var measured = _sampleRate / (FrameBits * _bit);
        label = label with
        {
            Rate = Rate ?? (measured < 24.5 && _highestFrame < 24 ? TimecodeRate.Film24
                : measured < 27.5 && _highestFrame < 25 ? TimecodeRate.Ebu25 : TimecodeRate.Smpte30),
        };
        var reading = new Reading(_bitStarts[_bitCount % FrameBits], _bitCount, label, backwards);
        Compare(reading);
        _before = reading;
    }

    /// <summary>The rate that the turn of a second tells: its last frame's number beside 0; null where there is none.</summary>
    private TimecodeRate? Turn(Timecode label, bool backwards)
    {
        if (_before is not { } before || before.IsBackwards != backwards || before.AtBit + FrameBits != _bitCount)
        {
            return null;
        }

        var (last, first) = backwards ? (label, before.Label) : (before.Label, label);
        var isTurn = first.Frames == 0 && (SecondOfDay(last) + 1) % 86_400 == SecondOfDay(first);
        return !isTurn ? null : last.Frames switch { 23 => TimecodeRate.Film24, 24 => TimecodeRate.Ebu25, 29 => TimecodeRate.Smpte30, _ => null };
    }

    /// <summary>Tells a label that follows the one before, and the one before where nothing bore it out yet.</summary>
    private void Compare(Reading reading)
    {
        var follows = false;
        if (_before is { } before && before.IsBackwards == reading.IsBackwards && reading.Label.IsValid)
        {
            before = before with { Label = before.Label with { Rate = reading.Label.Rate } };
            var passed = (int)Math.Round((reading.AtBit - before.AtBit) / (double)FrameBits);
            var counted = before.Label.FramesTo(reading.Label) * (reading.IsBackwards ? -1 : 1);

            // A generator that holds sends its label on and on.
            follows = before.Label.IsValid && passed <= MostFramesBetween && (counted == passed || (counted == 0 && passed == 1));
            if (follows && !_isBorneOut)
            {
                Tell(before);
            }
        }

        _isBorneOut = follows;
        if (follows)
        {
            Tell(reading);
        }
    }

    private void Tell(Reading reading)
    {
        Frames++;
        IsBackwards = reading.IsBackwards;
        _found(new TimecodeAt(TimeSpan.FromSeconds(reading.Began / _sampleRate), reading.Label));
    }

    private static int SecondOfDay(Timecode label) => (60 * ((60 * label.Hours) + label.Minutes)) + label.Seconds;

    private static ulong Turned(ulong bits)
    {
        ulong turned = 0;
        for (var i = 0; i < 64; i++)
        {
            turned = (turned << 1) | ((bits >> i) & 1);
        }

        return turned;
    }

    /// <summary>A frame as it was read.</summary>
    /// <param name="Began">Samples from the start.</param>
    /// <param name="AtBit">Bits read when it was complete.</param>
    private readonly record struct Reading(double Began, long AtBit, Timecode Label, bool IsBackwards);
}
