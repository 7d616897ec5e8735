using StageView.Ground.Files;
using StageView.Rig.Pieces;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Show.Frames;

/// <summary>The demo show and the pictures that its cue file names, in order of time.</summary>
public sealed class DemoRun : IDisposable
{
    private readonly RigScene _rig;
    private readonly CaptureShow _show;
    private readonly Pictures _pictures;

    public DemoRun(string rig, string capture, Action<string>? tell = null)
    {
        var soon = FirstFrame.PicturesSoon();
        try
        {
            _rig = RigFiles.Open(rig, tell: tell);
            Pictures = [.. CueTimes.Read(capture).Where(c => c.Camera is not null).OrderBy(c => c.Time)];
            _show = SourceChoice.WithContent(new CaptureShow(_rig, capture));
        }
        catch
        {
            FirstFrame.Close(soon);
            throw;
        }

        _pictures = soon.GetAwaiter().GetResult();
    }

    public IReadOnlyList<CueTime> Pictures { get; }

    /// <summary>What bounds left out of any picture so far, each text once.</summary>
    public IReadOnlyCollection<string> LeftOut => _pictures.LeftOut;

    public WrittenFrame Draw(CueTime cue, FrameSize size, string folder)
    {
        var camera = FrameNames.Cameras(_rig, [cue.Camera!])[0];
        _show.FeedTo(cue.Time);
        var moment = _show.Stage.MomentAt(cue.Time, TimeSpan.FromSeconds(camera.ShutterSeconds));
        var file = Slashes.Join(folder, FrameNames.Slug(cue.Name) + ".png");
        _pictures.Write(moment, camera, size, file);
        return new WrittenFrame(file, camera.Name, cue.Time.TotalSeconds, cue.Name, moment.Beams.Length);
    }

    public void Dispose()
    {
        _show.Dispose();
        _pictures.Dispose();
    }
}
