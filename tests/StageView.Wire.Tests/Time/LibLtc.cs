using System.Runtime.InteropServices;
using StageView.Wire.Clock;

namespace StageView.Wire.Tests.Time;

/// <summary>Debian's libltc (LGPL-3+) as the independent encoder; prototypes from its header ltc.h.</summary>
internal sealed unsafe class LibLtc : IDisposable
{
    private readonly nint _encoder;

    public LibLtc(double sampleRate, TimecodeRate rate, Timecode start)
    {
        // LTC_TV_525_60, LTC_TV_625_50, LTC_TV_FILM_24.
        var standard = rate switch { TimecodeRate.Ebu25 => 1, TimecodeRate.Film24 => 3, _ => 0 };
        _encoder = Create(sampleRate, 1 / Timecode.FrameSeconds(rate), standard, 0);
        GoTo(start);
    }

    public static bool IsThere => NativeLibrary.TryLoad("libltc.so.11", out _);

    /// <summary>The label of the frame that <see cref="Next"/> gives next.</summary>
    public (int Hours, int Minutes, int Seconds, int Frame) Label
    {
        get
        {
            SmpteTimecode label;
            GetTimecode(_encoder, &label);
            return (label.Hours, label.Minutes, label.Seconds, label.Frame);
        }
    }

    /// <summary>Sound of so many frames from a label on.</summary>
    public static float[] Sound(double sampleRate, TimecodeRate rate, Timecode start, int frames)
    {
        using var encoder = new LibLtc(sampleRate, rate, start);
        var sound = new List<float>();
        var frame = new float[(int)sampleRate];
        for (var i = 0; i <= frames; i++)
        {
            sound.AddRange(frame.AsSpan(0, i < frames ? encoder.Next(frame) : encoder.End(frame)));
        }

        return [.. sound];
    }

    /// <summary>Goes on from another label.</summary>
    public void GoTo(Timecode to)
    {
        var label = new SmpteTimecode { Hours = (byte)to.Hours, Minutes = (byte)to.Minutes, Seconds = (byte)to.Seconds, Frame = (byte)to.Frames };
        SetTimecode(_encoder, &label);
    }

    /// <summary>One frame of sound, -1 to 1.</summary>
    public int Next(Span<float> samples)
    {
        EncodeFrame(_encoder);
        _ = IncTimecode(_encoder);
        return Take(samples);
    }

    public int End(Span<float> samples)
    {
        EndEncode(_encoder);
        return Take(samples);
    }

    public void Dispose() => Free(_encoder);

    private int Take(Span<float> samples)
    {
        int size;
        var bytes = GetBufPtr(_encoder, &size, 1);
        for (var i = 0; i < size; i++)
        {
            samples[i] = (bytes[i] - 128) / 128f;
        }

        return size;
    }

    [DllImport("libltc.so.11", EntryPoint = "ltc_encoder_create")]
    private static extern nint Create(double sampleRate, double fps, int standard, int flags);

    [DllImport("libltc.so.11", EntryPoint = "ltc_encoder_free")]
    private static extern void Free(nint encoder);

    [DllImport("libltc.so.11", EntryPoint = "ltc_encoder_set_timecode")]
    private static extern void SetTimecode(nint encoder, SmpteTimecode* label);

    [DllImport("libltc.so.11", EntryPoint = "ltc_encoder_get_timecode")]
    private static extern void GetTimecode(nint encoder, SmpteTimecode* label);

    [DllImport("libltc.so.11", EntryPoint = "ltc_encoder_inc_timecode")]
    private static extern int IncTimecode(nint encoder);

    [DllImport("libltc.so.11", EntryPoint = "ltc_encoder_encode_frame")]
    private static extern void EncodeFrame(nint encoder);

    [DllImport("libltc.so.11", EntryPoint = "ltc_encoder_end_encode")]
    private static extern void EndEncode(nint encoder);

    [DllImport("libltc.so.11", EntryPoint = "ltc_encoder_get_bufptr")]
    private static extern byte* GetBufPtr(nint encoder, int* size, int flush);

    [StructLayout(LayoutKind.Sequential)]
    private struct SmpteTimecode
    {
        public fixed byte Timezone[6];
        public byte Years;
        public byte Months;
        public byte Days;
        public byte Hours;
        public byte Minutes;
        public byte Seconds;
        public byte Frame;
    }
}
