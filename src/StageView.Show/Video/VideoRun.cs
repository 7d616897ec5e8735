using StageView.Rig.Pieces;
using StageView.Show.Frames;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Show.Video;

/// <summary>What a video was asked for, beside what any render is.</summary>
public sealed record VideoRequest(string From, string To, FrameRate Rate, Shard Shard, VideoQuality Quality);

/// <summary>A video, or one shard of it, that was written.</summary>
/// <param name="File">Where; empty for a shard without frames.</param>
/// <param name="Camera">From which camera.</param>
/// <param name="Frames">Frames in this file.</param>
/// <param name="AllFrames">Frames of the whole video.</param>
/// <param name="Shard">Which share, written K/N.</param>
/// <param name="Renderer">What drew it.</param>
public sealed record WrittenVideo(string File, string Camera, int Frames, int AllFrames, string Shard, string Renderer)
{
    /// <summary>What a bound left out of frames drawn by this run, a text each; it is said on them, too.</summary>
    public IReadOnlyList<string> LeftOut { get; init; } = [];
}

/// <summary>Rig and capture in, a video out.</summary>
public static class VideoRun
{
    public static bool IsVideo(string path) => Path.GetExtension(path).ToLowerInvariant() is ".mp4" or ".mov" or ".mkv";

    /// <summary>Draws a video, or a shard of one.</summary>
    /// <param name="asked">What to draw.</param>
    /// <param name="video">As what video.</param>
    /// <param name="progress">Told after each frame.</param>
    /// <param name="tell">Told what was wrong with rig and source, a text each.</param>
    /// <param name="doubt">Told what is wrong with the capture, so that the video is of a part of it.</param>
    /// <param name="stop">Ends it; finished segments are kept.</param>
    /// <exception cref="StopException">Something asked for can't be; the message says what.</exception>
    public static async Task<WrittenVideo> RunAsync(RenderRequest asked, VideoRequest video, Action<VideoProgress>? progress, Action<string>? tell,
        CancellationToken stop, Action<string>? doubt = null)
    {
        if (asked.ListenSeconds is not null)
        {
            throw StopException.Wrong("a video is made from a capture: record what is on the network first, then give it with --capture");
        }

        var rig = RigFiles.Open(asked.Rig, asked.Venue, asked.Preset, tell: tell);
        using var source = SourceChoice.Open(rig, asked.Capture, asked.ListenSeconds, asked.Look, inputs: asked.Inputs);
        var written = await RunAsync(rig, source, asked, video, progress, stop).ConfigureAwait(false);
        source.TellProblems(tell, doubt);
        return written;
    }

    private static async Task<WrittenVideo> RunAsync(RigScene rig, ShowSource source, RenderRequest asked, VideoRequest video, Action<VideoProgress>? progress,
        CancellationToken stop)
    {
        var cameras = FrameNames.Cameras(rig, asked.Cameras);
        if (cameras.Count > 1)
        {
            throw StopException.Wrong("a video is seen from one camera: give one --camera");
        }

        if (asked.Style.Metered)
        {
            throw StopException.Wrong("--exposure metered would pump from frame to frame: give an exposure value, or leave it to the camera");
        }

        var camera = cameras[0];
        var (from, to) = (source.Times([video.From])[0].Time, video.To == "end" ? source.End() : source.Times([video.To])[0].Time);
        var stamp = SourceStamp.Of(rig, asked.Capture ?? asked.Look, camera.Name, asked.Style.Stamp);
        var plan = VideoPlan.Make(from, to, video.Rate, asked.Size.Width, asked.Size.Height, video.Quality, stamp);
        if (Path.GetDirectoryName(Path.GetFullPath(asked.Out)) is { } folder)
        {
            Directory.CreateDirectory(folder);
        }

        using var pictures = new Pictures();
        var painter = pictures.Painter(rig, asked.Style);
        var render = new VideoRender(
            at =>
            {
                source.FeedTo(at);
                return painter.Draw(source.Stage, at, camera, asked.Size);
            },
            new Ffmpeg(),
            TimeProvider.System,
            pictures.Renderer);
        var file = await render.RunAsync(plan, video.Shard, asked.Out, progress, stop).ConfigureAwait(false);
        return new WrittenVideo(file ?? "", camera.Name, plan.FramesOf(video.Shard), plan.Frames, video.Shard.ToString(), pictures.Renderer)
        {
            LeftOut = [.. pictures.LeftOut],
        };
    }
}
