using StageView.Wire.ArtNet;
using StageView.Wire.Capture;

namespace StageView.App.Snap;

/// <summary>The timecode that a capture carries as ArtTimeCode, as pairs of capture time and timecode.</summary>
internal static class CaptureTimecode
{
    /// <summary>Where timecode starts or jumps: capture time and timecode there, s; empty when the capture has none.</summary>
    public static IReadOnlyList<(double At, double Timecode)> Read(string capture)
    {
        var jumps = new List<(double At, double Timecode)>();
        foreach (var datagram in CaptureReader.Read(capture))
        {
            if (Seconds(datagram.Payload.Span) is { } timecode)
            {
                var at = datagram.At.TotalSeconds;
                // Within two frames of running on is running on.
                if (jumps.Count == 0 || Math.Abs(timecode - jumps[^1].Timecode - (at - jumps[^1].At)) > 0.085)
                {
                    jumps.Add((at, timecode));
                }
            }
        }

        return jumps;
    }

    /// <summary>Pairs of times of two captures that show the same timecode.</summary>
    public static IEnumerable<(double A, double B)> Pairs(IReadOnlyList<(double At, double Timecode)> a, IReadOnlyList<(double At, double Timecode)> b)
    {
        foreach (var (at, timecode) in a)
        {
            // The stretch of the other capture that runs through this timecode: the last jump before it.
            var other = b.LastOrDefault(j => j.Timecode <= timecode + 0.085, b[0]);
            yield return (at, other.At + (timecode - other.Timecode));
        }
    }

    /// <summary>Art-Net 4, ArtTimeCode: frames, seconds, minutes, hours at bytes 14 to 17, kind at 18 (24, 25, 29.97, 30 frames a second).</summary>
    private static double? Seconds(ReadOnlySpan<byte> bytes)
    {
        if (bytes.Length < 19 || ArtNetParser.OpCode(bytes) != ArtOpCode.TimeCode || bytes[18] > 3
            || bytes[15] > 59 || bytes[16] > 59 || bytes[17] > 23)
        {
            return null;
        }

        ReadOnlySpan<double> rates = [24, 25, 30 / 1.001, 30];
        return (bytes[17] * 3600) + (bytes[16] * 60) + bytes[15] + (bytes[14] / rates[bytes[18]]);
    }
}
