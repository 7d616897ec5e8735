using StageView.Show.Pixels;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Show.Frames;

/// <summary>Rig and levels in, picture files out.</summary>
public static class RenderRun
{
    /// <summary>White of a numbered picture, cd/m².</summary>
    private const float NumberedLuminance = 300;

    /// <summary>Draws every asked time from every asked camera.</summary>
    /// <param name="asked">What to draw.</param>
    /// <param name="written">Told each frame once its file stands.</param>
    /// <param name="tell">Told what was wrong or odd with rig and source, a text each.</param>
    /// <param name="doubt">Told what is wrong with the capture, so that the pictures are of a part of it, and what a bound left out of the pictures, a text each.</param>
    /// <exception cref="StopException">Something asked for can't be; the message says what.</exception>
    public static IReadOnlyList<WrittenFrame> Run(
        RenderRequest asked, Action<WrittenFrame>? written = null, Action<string>? tell = null, Action<string>? doubt = null)
    {
        var soon = FirstFrame.PicturesSoon();
        try
        {
            return Run(asked, soon, written, tell, doubt);
        }
        finally
        {
            FirstFrame.Close(soon);
        }
    }

    private static List<WrittenFrame> Run(RenderRequest asked, Task<Pictures> soon, Action<WrittenFrame>? told, Action<string>? tell, Action<string>? doubt)
    {
        var rig = RigFiles.Open(asked.Rig, asked.Venue, asked.Preset, tell: tell);
        var cameras = FrameNames.Cameras(rig, asked.Cameras);
        using var source = SourceChoice.Open(rig, asked.Capture, asked.ListenSeconds, asked.Look, asked.Seek, asked.Inputs);
        var times = source.Times(asked.Times);
        if (asked.NumberedMap is { } map)
        {
            source.Stage.Content = [PixelPictures.Test(rig, PixelsQuestion.Open(rig, map, null), NumberedLuminance)];
        }

        source.Notes.ForEach(n => tell?.Invoke(n));
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
                var file = FrameNames.FileOf(asked.Out, single, label, camera.Name, asked.Style.Extension);
                painter.Write(source.Stage, time, camera, asked.Size, file);
                var beams = source.Stage.MomentAt(time, TimeSpan.FromSeconds(camera.ShutterSeconds)).Beams.Length;
                written.Add(new WrittenFrame(file, camera.Name, time.TotalSeconds, label, beams));
                told?.Invoke(written[^1]);
            }
        }

        source.TellProblems(tell, doubt);
        foreach (var what in painter.LeftOut)
        {
            (doubt ?? tell)?.Invoke(what);
        }

        return written;
    }
}
