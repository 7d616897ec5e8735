using StageView.Show;
using StageView.Show.Frames;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Show.Video;

namespace StageView.App.Printing;

/// <summary>Rig and levels in, picture files out.</summary>
internal static class RenderRun
{
    /// <summary>Draws every asked time from every asked camera; says on standard output what was written unless it is to be JSON.</summary>
    public static IReadOnlyList<WrittenFrame> Run(RenderRequest asked, bool asJson)
    {
        var soon = FirstFrame.PicturesSoon();
        try
        {
            return Run(asked, asJson, soon);
        }
        finally
        {
            FirstFrame.Close(soon);
        }
    }

    private static List<WrittenFrame> Run(RenderRequest asked, bool asJson, Task<Pictures> soon)
    {
        var rig = RigFiles.Open(asked.Rig, asked.Venue, asked.Preset, tell: Tell.Note);
        var cameras = FrameNames.Cameras(rig, asked.Cameras);
        using var source = SourceChoice.Open(rig, asked.Capture, asked.ListenSeconds, asked.Look, asked.Seek);
        var times = source.Times(asked.Times);
        Notes(source);
        source.FeedTo(times.Min(t => t.Time));
        var pictures = soon.GetAwaiter().GetResult();
        var painter = pictures.Painter(rig, asked.Style);
        var written = new List<WrittenFrame>();
        var single = times.Count * cameras.Count == 1;
        foreach (var (time, label) in times.OrderBy(t => t.Time))
        {
            source.FeedTo(time);
            foreach (var camera in cameras)
            {
                var moment = source.Stage.MomentAt(time, TimeSpan.FromSeconds(camera.ShutterSeconds));
                var file = FrameNames.FileOf(asked.Out, single, label, camera.Name, asked.Style.Extension);
                painter.Write(moment, camera, asked.Size, file);
                written.Add(new WrittenFrame(file, camera.Name, time.TotalSeconds, label, moment.Beams.Length));
                if (!asJson)
                {
                    Console.WriteLine($"{file}  {camera.Name}, {label}, {moment.Beams.Length} beams");
                }
            }
        }

        Problem(source);
        return written;
    }

    /// <summary>Draws a video, or a shard of one.</summary>
    public static async Task<WrittenVideo> RunVideoAsync(RenderRequest asked, VideoRequest video, Action<VideoProgress>? progress, CancellationToken stop)
    {
        if (asked.ListenSeconds is not null)
        {
            throw StopException.Wrong("a video is made from a capture: record what is on the network first, then give it with --capture");
        }

        var rig = RigFiles.Open(asked.Rig, asked.Venue, asked.Preset, tell: Tell.Note);
        using var source = SourceChoice.Open(rig, asked.Capture, asked.ListenSeconds, asked.Look);
        var written = await VideoRun.RunAsync(rig, source, asked, video, progress, stop).ConfigureAwait(false);
        Problem(source);
        return written;
    }

    private static void Notes(ShowSource source) => source.Notes.ForEach(Tell.Note);

    private static void Problem(ShowSource source)
    {
        if (source.Problem is { } problem)
        {
            Tell.Note(problem);
        }
    }
}
