using StageView.Show.Sources;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Time;

namespace StageView.Show.Snap;

/// <summary>The timecode of a capture: ArtTimeCode in it, else linear timecode recorded beside it as CAPTURE.ltc.wav.</summary>
/// <param name="Jumps">Where timecode starts or does not run on.</param>
internal sealed record CaptureTimecode(IReadOnlyList<TimecodeAt> Jumps)
{
    /// <summary>Within two frames of running on is running on, s.</summary>
    private const double Slack = 0.085;

    public bool IsEmpty => Jumps.Count == 0;

    public static CaptureTimecode Read(string capture)
    {
        var jumps = new List<TimecodeAt>();
        void Add(TimecodeAt label)
        {
            if (jumps.Count == 0 || Math.Abs((jumps[^1].Timecode.TimeTo(label.Timecode) - (label.At - jumps[^1].At)).TotalSeconds) > Slack)
            {
                jumps.Add(label);
            }
        }

        foreach (var datagram in CaptureReader.Read(capture))
        {
            if (ArtTimeCode.TryParse(datagram.Payload.Span, out var timecode, out _))
            {
                Add(new TimecodeAt(datagram.At, timecode));
            }
        }

        var sound = CaptureTrack.SoundFor(capture);
        if (jumps.Count == 0 && File.Exists(sound))
        {
            using var wav = WavReader.Open(sound, 0);
            var decoder = new LtcDecoder(wav.SampleRate, Add);
            var samples = new float[4096];
            for (int n; (n = wav.Read(samples)) > 0;)
            {
                decoder.Feed(samples.AsSpan(0, n));
            }
        }

        return new CaptureTimecode(jumps);
    }

    /// <summary>The label at a time, or null before the first.</summary>
    public string? LabelAt(TimeSpan at)
    {
        var last = Jumps.Where(j => j.At <= at).Select(j => (TimecodeAt?)j).LastOrDefault();
        return last is { } j
            ? Timecode.FromFrameNumber(j.Timecode.FrameNumber + (int)Math.Floor((at - j.At).TotalSeconds / Timecode.FrameSeconds(j.Timecode.Rate)),
                j.Timecode.Rate).ToString()
            : null;
    }

    /// <summary>Pairs of times of two captures that show the same timecode, s.</summary>
    public IEnumerable<(double A, double B)> PairsWith(CaptureTimecode other)
    {
        foreach (var jump in Jumps)
        {
            // The stretch of the other capture that runs through this label: the one that begins least before it, round midnight too.
            var stretches = other.Jumps.Select(j => (j.At, On: j.Timecode.TimeTo(jump.Timecode).TotalSeconds)).ToList();
            var through = stretches.Where(s => s.On >= -Slack).ToList();
            var (at, on) = through.Count > 0 ? through.MinBy(s => s.On) : stretches[0];
            yield return (jump.At.TotalSeconds, at.TotalSeconds + on);
        }
    }
}
