using StageView.Wire.Clock;
using StageView.Wire.Datagrams;

namespace StageView.Wire.ArtNet;

/// <summary>ArtTimeCode, 19 bytes: frames at 14, seconds, minutes, hours, type at 18 (0 film 24, 1 EBU 25, 2 drop 29.97, 3 SMPTE 30).</summary>
public static class ArtTimeCode
{
    public const int Length = 19;

    public static bool TryParse(ReadOnlySpan<byte> bytes, out Timecode timecode, out Refusal why)
    {
        timecode = default;
        if (!ArtNetParser.TryHeader(bytes, ArtOpCode.TimeCode, Length, out why))
        {
            return false;
        }

        if (bytes[18] > 3)
        {
            why = new Refusal(RefusalKind.BadField, 18, bytes[18]);
            return false;
        }

        var read = new Timecode(bytes[17], bytes[16], bytes[15], bytes[14], (TimecodeRate)bytes[18]);
        if (!read.IsValid)
        {
            why = new Refusal(RefusalKind.BadField, 14, bytes[14]);
            return false;
        }

        timecode = read;
        return true;
    }

    public static int Write(Span<byte> buffer, Timecode timecode)
    {
        var bytes = ArtNetWriter.Begin(buffer, ArtOpCode.TimeCode, Length);
        bytes[14] = (byte)timecode.Frames;
        bytes[15] = (byte)timecode.Seconds;
        bytes[16] = (byte)timecode.Minutes;
        bytes[17] = (byte)timecode.Hours;
        bytes[18] = (byte)timecode.Rate;
        return Length;
    }
}
