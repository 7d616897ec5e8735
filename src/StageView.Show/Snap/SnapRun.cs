using StageView.Show.Frames;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Snapshot.Files;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Images;

namespace StageView.Show.Snap;

/// <summary>Draws frames of a capture and writes each with its sidecar.</summary>
public static class SnapRun
{
    /// <param name="asked">What to take.</param>
    /// <param name="told">Called after each frame with its place, how many there are, and its sidecar.</param>
    /// <param name="tell">Told each warning of the rig file.</param>
    public static IReadOnlyList<FrameSidecar> Run(SnapRequest asked, Action<int, int, FrameSidecar> told, Action<string>? tell = null)
    {
        if (!File.Exists(asked.Capture))
        {
            throw StopException.Wrong($"there is no capture file at {asked.Capture}");
        }

        var rig = RigFiles.Open(asked.Rig, asked.Venue, tell: tell);
        var cameras = FrameNames.Cameras(rig, asked.Cameras);
        var found = CaptureChanges.Find(rig, asked.Capture);
        using var source = SourceChoice.WithContent(new CaptureShow(rig, asked.Capture));
        var timecode = CaptureTimecode.Read(asked.Capture);
        var records = found.Records(asked.Capture, timecode);
        var times = SnapTime.Of(asked, source, found, records);
        var store = new BaselineStore(asked.Out);
        using var alone = FolderLock.Take(asked.Out);
        var common = new FrameSidecar
        {
            Frame = "",
            Image = "",
            Pixels = "",
            Width = asked.Size.Width,
            Height = asked.Size.Height,
            Rig = FileStamp.Of(asked.Rig, rig.Files.Where(f => f.Found).Select(f => f.FullPath)),
            Capture = FileStamp.Of(asked.Capture),
            Facts = new SetFacts { Rig = RigFacts.Of(rig), Changes = records }.Save(asked.Out),
        };
        using var pictures = new Pictures();
        common = common with { Renderer = pictures.Renderer, Driver = pictures.Driver };
        var frames = times.SelectMany(_ => cameras, (time, camera) => (time, camera)).Where((_, i) => i % asked.Shards == asked.Shard - 1)
            .Select(f => (f.time, f.camera, Name: $"{f.time.Label}.{FrameNames.Slug(f.camera.Name)}")).ToList();
        var record = Begin(asked, store, [.. frames.Select(f => f.Name)]);
        var written = new List<FrameSidecar>();
        foreach (var (time, camera, name) in frames)
        {
            source.FeedTo(time.At);
            var moment = source.Stage.MomentAt(time.At, TimeSpan.FromSeconds(camera.ShutterSeconds));
            var covers = new BeamCovers(moment, camera, asked.Size.Width, asked.Size.Height);
            var (fixtures, pieces) = (SidecarMaker.Fixtures(source.Stage, moment, camera, covers), covers.Pieces(moment));
            var picture = pictures.Draw(source.Stage.MomentAt(time.At, TimeSpan.FromSeconds(camera.ShutterSeconds)), camera, asked.Size);
            var sidecar = store.Save(
                common with
                {
                    Frame = name,
                    Camera = camera.Name,
                    Seconds = Math.Round(time.At.TotalSeconds, 3),
                    Timecode = timecode.LabelAt(time.At),
                    Moment = time.Why,
                    Change = time.Change,
                    Part = time.Part,
                    Fixtures = fixtures,
                    Pieces = pieces,
                    Tolerance = RigTolerance.For(rig, name, store),
                },
                new FrameImage(picture.Width, picture.Height, picture.Rgba));
            written.Add(sidecar with { Fixtures = [], Pieces = [] });
            told(written.Count, frames.Count, sidecar);
        }

        (record with { Complete = true }).Save(asked.Out);
        store.Sweep();
        var doubts = source.Doubts.Concat(pictures.LeftOut).ToList();
        return doubts.Count > 0 ? throw StopException.Wrong(string.Join(Environment.NewLine, doubts)) : written;
    }

    /// <summary>Writes down what is to come, and takes away what an earlier run of this folder left that is not asked for any more.</summary>
    private static SetRecord Begin(SnapRequest asked, BaselineStore store, IReadOnlyList<string> names)
    {
        foreach (var stale in SetRecord.Read(asked.Out, asked.Shard, asked.Shards)?.Frames.Except(names, StringComparer.Ordinal) ?? [])
        {
            File.Delete(store.SidecarFile(stale));
        }

        var record = new SetRecord { Shard = asked.Shard, Shards = asked.Shards, Frames = names };
        record.Save(asked.Out);
        return record;
    }
}
