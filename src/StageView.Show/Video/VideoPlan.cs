namespace StageView.Show.Video;

/// <summary>
/// What is rendered: frames at exact times, cut into segments by their number in the whole video. A segment is encoded alone, so
/// it comes out the same whether one process renders the video or sixteen do.
/// </summary>
/// <param name="From">Show time of frame 0.</param>
/// <param name="Rate">Frames a second.</param>
/// <param name="Frames">Frames of the whole video, at least 1.</param>
/// <param name="Width">Pixels; even, as the encoder's colour subsampling needs.</param>
/// <param name="Height">Pixels; even.</param>
/// <param name="Quality">How it is encoded.</param>
/// <param name="Source">Hash or text that names all else the frames depend on (rig, capture, camera, options); shards and resumed renders must agree on
/// it.</param>
public sealed record VideoPlan(TimeSpan From, FrameRate Rate, int Frames, int Width, int Height, VideoQuality Quality, string Source)
{
    /// <summary>
    /// Frames a segment: at 24, 25, 30, 50 and 60 frames/s (and their 1000/1001) 60 frames last a whole number of microseconds, the unit of ffmpeg's joining.
    /// </summary>
    public const int SegmentFrames = 60;

    public const int MostFrames = 10_000_000;

    /// <summary>Segments of the whole video.</summary>
    public int Segments => (Frames + SegmentFrames - 1) / SegmentFrames;

    /// <summary>Frames from <paramref name="from"/> up to but without <paramref name="to"/>.</summary>
    /// <exception cref="StopException">The span or the size can't be rendered.</exception>
    public static VideoPlan Make(TimeSpan from, TimeSpan to, FrameRate rate, int width, int height, VideoQuality quality, string source)
    {
        if (from < TimeSpan.Zero || to <= from)
        {
            throw StopException.Wrong($"--to {to.TotalSeconds:0.###} must lie after --from {from.TotalSeconds:0.###}, and both from 0 on");
        }

        if ((width | height) % 2 != 0)
        {
            throw StopException.Wrong(
                $"a video needs an even width and height, not {width}x{height}: ask for --size {width + (width & 1)}x{height + (height & 1)}");
        }

        var frames = Math.Ceiling((decimal)(to - from).Ticks * rate.Numerator / (rate.Denominator * (decimal)TimeSpan.TicksPerSecond));
        if (frames > MostFrames)
        {
            throw StopException.Wrong($"{frames} frames are more than the {MostFrames} of one video: render parts of the show");
        }

        return new VideoPlan(from, rate, (int)frames, width, height, quality, source);
    }

    /// <summary>Show time of a frame, to the nearest 100 ns.</summary>
    public TimeSpan TimeOf(int frame) =>
        From + TimeSpan.FromTicks((long)Math.Round((decimal)frame * RateTicks / Rate.Numerator, MidpointRounding.AwayFromZero));

    private decimal RateTicks => (decimal)TimeSpan.TicksPerSecond * Rate.Denominator;

    /// <summary>Segments of a shard: first, and one past the last. Shards differ by one segment at most and may be empty.</summary>
    public (int First, int End) SegmentsOf(Shard shard) =>
        ((int)((long)Segments * (shard.Index - 1) / shard.Count), (int)((long)Segments * shard.Index / shard.Count));

    /// <summary>Frames of a segment: first, and one past the last.</summary>
    public (int First, int End) FramesOf(int segment) =>
        (segment * SegmentFrames, Math.Min(Frames, (segment + 1) * SegmentFrames));

    /// <summary>Frames that a shard renders.</summary>
    public int FramesOf(Shard shard)
    {
        var (first, end) = SegmentsOf(shard);
        return end <= first ? 0 : FramesOf(end - 1).End - FramesOf(first).First;
    }
}
