using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Clock;

namespace StageView.Wire.Time;

/// <summary>Timecode out of files: ArtTimeCode in a capture, LTC in a WAV file.</summary>
public static class TimecodeFile
{
    /// <summary>The ArtTimeCode of a capture; times are those of the capture. A cut capture gives what stood before the cut.</summary>
    /// <param name="path">The capture.</param>
    /// <param name="freewheel">One second when left out.</param>
    /// <param name="problem">Told when the file was cut or damaged, or its stamps were wrong.</param>
    /// <exception cref="CaptureException">No capture.</exception>
    public static TimecodeTrack FromCapture(string path, TimeSpan? freewheel = null, Action<string>? problem = null)
    {
        var track = new TimecodeTrack(freewheel ?? TimeSpan.FromSeconds(1));
        var end = TimeSpan.Zero;
        foreach (var datagram in CaptureReader.Read(path, problem))
        {
            end = datagram.At > end ? datagram.At : end;
            if (ArtTimeCode.TryParse(datagram.Payload.Span, out var timecode, out _))
            {
                track.Add(new TimecodeAt(end, timecode));
            }
        }

        track.Advance(end);
        return track;
    }

    /// <summary>The LTC of one channel of a WAV file; times count from its first sample.</summary>
    /// <param name="path">The file.</param>
    /// <param name="channel">From 0.</param>
    /// <param name="freewheel">One second when left out.</param>
    /// <exception cref="CaptureException">No WAV file, or of a kind that isn't read.</exception>
    public static TimecodeTrack FromSound(string path, int channel = 0, TimeSpan? freewheel = null)
    {
        using var wav = WavReader.Open(path, channel);
        var track = new TimecodeTrack(freewheel ?? TimeSpan.FromSeconds(1));
        var decoder = new LtcDecoder(wav.SampleRate, track.Add);
        var samples = new float[4096];
        long read = 0;
        for (int n; (n = wav.Read(samples)) > 0; read += n)
        {
            decoder.Feed(samples.AsSpan(0, n));
        }

        track.Advance(TimeSpan.FromSeconds((double)read / wav.SampleRate));
        return track;
    }
}
