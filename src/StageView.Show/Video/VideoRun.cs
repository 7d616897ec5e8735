using System.Globalization;
using StageView.Rig.Pieces;
using StageView.Show.Content;
using StageView.Show.Frames;
using StageView.Show.Sources;

namespace StageView.Show.Video;

/// <summary>What a video was asked for, beside what any render is.</summary>
internal sealed record VideoRequest(string From, string To, FrameRate Rate, Shard Shard, VideoQuality Quality);

/// <summary>A video, or one shard of it, that was written.</summary>
/// <param name="File">Where; empty for a shard without frames.</param>
/// <param name="Camera">From which camera.</param>
/// <param name="Frames">Frames in this file.</param>
/// <param name="AllFrames">Frames of the whole video.</param>
/// <param name="Shard">Which share, written K/N.</param>
/// <param name="Renderer">What drew it.</param>
internal sealed record WrittenVideo(string File, string Camera, int Frames, int AllFrames, string Shard, string Renderer);

/// <summary>Rig and capture in, a video out.</summary>
internal static class VideoRun
{
    public static bool IsVideo(string path) => Path.GetExtension(path).ToLowerInvariant() is ".mp4" or ".mov" or ".mkv";

    /// <exception cref="StopException">Something asked for can't be; the message says what.</exception>
    public static async Task<WrittenVideo> RunAsync(RigScene rig, ShowSource source, RenderRequest asked, VideoRequest video, Action<VideoProgress>? progress, CancellationToken stop)
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
        var shutter = TimeSpan.FromSeconds(camera.ShutterSeconds);
        var render = new VideoRender(
            at =>
            {
                source.FeedTo(at);
                return painter.Draw(source.Stage.MomentAt(at, shutter), camera, asked.Size);
            },
            new Ffmpeg(),
            TimeProvider.System,
            pictures.Renderer);
        var file = await render.RunAsync(plan, video.Shard, asked.Out, progress, stop).ConfigureAwait(false);
        return new WrittenVideo(file ?? "", camera.Name, plan.FramesOf(video.Shard), plan.Frames, video.Shard.ToString(), pictures.Renderer);
    }

    /// <summary>A line that is rewritten on a terminal, and now and then a line elsewhere (a log).</summary>
    public static Action<VideoProgress> Reporter(TextWriter to, bool terminal)
    {
        var lastTenth = -1;
        return p =>
        {
            var left = p.Remaining is { } r ? $", {r.ToString(r.TotalHours >= 1 ? @"h\:mm\:ss" : @"m\:ss", CultureInfo.InvariantCulture)} left" : "";
            var kept = p.Kept > 0 ? $" ({p.Kept} kept)" : "";
            var text = $"frame {p.Done} of {p.Total}{kept}{left}";
            if (terminal)
            {
                to.Write($"\r{text}        {(p.Done == p.Total ? "\n" : "")}");
            }
            else if (p.Done * 10 / p.Total != lastTenth)
            {
                lastTenth = p.Done * 10 / p.Total;
                to.WriteLine(text);
            }
        };
    }
}
