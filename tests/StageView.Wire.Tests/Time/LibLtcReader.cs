using System.Runtime.InteropServices;

namespace StageView.Wire.Tests.Time;

/// <summary>The decoder of Debian's libltc, to compare ours with; prototypes from its header ltc.h.</summary>
internal sealed unsafe class LibLtcReader : IDisposable
{
    // LTCFrameExt is 368 bytes on 64-bit systems and begins with the frame.
    private const int FrameLength = 512;
    private readonly nint _decoder;
    private long _position;

    /// <param name="samplesAFrame">Audio samples a video frame at the start; it follows from there.</param>
    public LibLtcReader(int samplesAFrame) => _decoder = Create(samplesAFrame, 256);

    public void Feed(ReadOnlySpan<float> samples, Action<string> label)
    {
        fixed (float* at = samples)
        {
            WriteFloat(_decoder, at, (nuint)samples.Length, _position);
        }

        _position += samples.Length;
        var frame = stackalloc byte[FrameLength];
        var time = stackalloc byte[32];
        while (Read(_decoder, frame) > 0)
        {
            FrameToTime(time, frame, 0);
            // SMPTETimecode: zone (6), years, months, days, hours, minutes, seconds, frame.
            label($"{time[9]:00}:{time[10]:00}:{time[11]:00}:{time[12]:00}");
        }
    }

    public void Dispose() => _ = Free(_decoder);

    [DllImport("libltc.so.11", EntryPoint = "ltc_decoder_create")]
    private static extern nint Create(int samplesAFrame, int queue);

    [DllImport("libltc.so.11", EntryPoint = "ltc_decoder_free")]
    private static extern int Free(nint decoder);

    [DllImport("libltc.so.11", EntryPoint = "ltc_decoder_write_float")]
    private static extern void WriteFloat(nint decoder, float* samples, nuint count, long position);

    [DllImport("libltc.so.11", EntryPoint = "ltc_decoder_read")]
    private static extern int Read(nint decoder, byte* frame);

    [DllImport("libltc.so.11", EntryPoint = "ltc_frame_to_time")]
    private static extern void FrameToTime(byte* time, byte* frame, int flags);
}
