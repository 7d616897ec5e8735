using StageView.Show.Sources;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Time;

namespace StageView.Show.Snap;

/// <summary>The timecode of a capture: ArtTimeCode in it, else linear timecode recorded beside it as CAPTURE.ltc.wav.</summary>
/// <param name="Jumps">Where timecode starts or does not run on.</param>
/// <param name="Points">Those, and a label a second between: a clock that runs fast or slow shows in them.</param>
internal sealed record CaptureTimecode(IReadOnlyList<TimecodeAt> Jumps, IReadOnlyList<TimecodeAt> Points)
{
    /// <summary>Within two frames of running on is running on, s.</summary>
    private const double Slack = 0.085;

    /// <summary>What two clocks may have drifted apart since a run began, s; a thousandth of an hour is more than any clock is off.</summary>
    private const double MostDrift = 4;

    /// <summary>Between two points of a run, s.</summary>
    private const double Apart = 1;

    public bool IsEmpty => Jumps.Count == 0;

    public static CaptureTimecode Read(string capture)
    {
        var (jumps, points) = (new List<TimecodeAt>(), new List<TimecodeAt>());
        void Add(TimecodeAt label)
        {
            if (points.Count == 0 || Math.Abs((points[^1].Timecode.TimeTo(label.Timecode) - (label.At - points[^1].At)).TotalSeconds) > Slack)
            {
                jumps.Add(label);
                points.Add(label);
            }
            else if ((label.At - points[^1].At).TotalSeconds >= Apart)
            {
                points.Add(label);
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

        return new CaptureTimecode(jumps, points);
    }

    /// <summary>The label at a time, or null before the first.</summary>
    public string? LabelAt(TimeSpan at)
    {
        var last = Points.Where(j => j.At <= at).Select(j => (TimecodeAt?)j).LastOrDefault();
        return last is { } j
            ? Timecode.FromFrameNumber(j.Timecode.FrameNumber + (int)Math.Floor((at - j.At).TotalSeconds / Timecode.FrameSeconds(j.Timecode.Rate)),
                j.Timecode.Rate).ToString()
            : null;
    }

    /// <summary>As <see cref="PairsWith"/>, about a pair a second: where one of the clocks runs fast, the delay between them grows from pair to pair.</summary>
    public IEnumerable<(double A, double B)> PointsWith(CaptureTimecode other)
    {
        foreach (var point in Points)
        {
            var (_, about) = new CaptureTimecode([point], []).PairsWith(other).First();
            // The label of the other nearest to there tells it to the frame, if it is of the same run.
            var near = other.Points.MinBy(p => Math.Abs(p.At.TotalSeconds - about));
            var exact = near.At.TotalSeconds + near.Timecode.TimeTo(point.Timecode).TotalSeconds;
            yield return (point.At.TotalSeconds, Math.Abs(exact - about) <= MostDrift ? exact : about);
        }
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
