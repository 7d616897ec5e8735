using StageView.Light.Moments;
using StageView.Show.Frames;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Snapshot.Files;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Images;
using StageView.Stage;

namespace StageView.Show.Snap;

/// <summary>A frame of a run.</summary>
/// <param name="Sidecar">Its record, without what was lit.</param>
/// <param name="TakenOver">Whether its picture was there already, drawn from the same.</param>
public sealed record SnappedFrame(FrameSidecar Sidecar, bool TakenOver);

/// <summary>How far a run is.</summary>
/// <param name="Done">Frames so far.</param>
/// <param name="Total">Frames in all.</param>
/// <param name="Last">The newest.</param>
/// <param name="Lit">Fixtures that are lit in it.</param>
public sealed record SnapProgress(int Done, int Total, SnappedFrame Last, int Lit);

/// <summary>Draws frames of a capture and writes each with its sidecar.</summary>
public static class SnapRun
{
    /// <param name="asked">What to take.</param>
    /// <param name="told">Called after each frame.</param>
    /// <param name="tell">Told each warning of the rig file.</param>
    public static IReadOnlyList<SnappedFrame> Run(SnapRequest asked, Action<SnapProgress>? told = null, Action<string>? tell = null)
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
        var size = asked.Size ?? SizeOf(asked.Against) ?? FrameSize.Default;
        using var alone = FolderLock.Take(asked.Out);
        var common = new FrameSidecar
        {
            Frame = "",
            Image = "",
            Pixels = "",
            Width = size.Width,
            Height = size.Height,
            Rig = FileStamp.Of(asked.Rig, rig.Files.Where(f => f.Found).Select(f => f.FullPath)),
            Capture = FileStamp.Of(asked.Capture),
            Facts = new SetFacts { Rig = RigFacts.Of(rig), Changes = records }.Save(asked.Out),
        };
        using var pictures = new Pictures();
        common = common with { Renderer = pictures.Renderer, Driver = pictures.Driver };
        var frames = times.SelectMany(_ => cameras, (time, camera) => (time, camera)).Where((_, i) => i % asked.Shards == asked.Shard - 1)
            .Select(f => (f.time, f.camera, Name: $"{f.time.Label}.{FrameNames.Slug(f.camera.Name)}")).ToList();
        var record = Begin(asked, store, [.. frames.Select(f => f.Name)]);
        var drawn = new DrawnFrames(asked.All ? [] : [FrameSet.Open(asked.Out), .. asked.Against is { } b && Directory.Exists(b) ? [FrameSet.Open(b)]
            : Array.Empty<FrameSet>()]);
        var keys = new StateKey(pictures.Renderer, pictures.Driver, size, new PictureStyle { Detail = asked.Detail });
        var written = new List<SnappedFrame>();
        foreach (var (time, camera, name) in frames)
        {
            source.FeedTo(time.At);
            var moment = source.Stage.MomentAt(time.At, TimeSpan.FromSeconds(camera.ShutterSeconds));
            var state = keys.Of(moment, camera);
            var old = drawn.TakeOver(state, name, store);

            // Of the same moment light is seen where it was.
            var seen = old?.Fixtures.DistinctBy(f => f.Name).ToDictionary(f => f.Name, f => f.Covers, StringComparer.Ordinal);
            var covers = new Lazy<BeamCovers>(() => new BeamCovers(moment, camera, size.Width, size.Height));
            var sidecar = common with
            {
                Frame = name,
                Camera = camera.Name,
                Seconds = Math.Round(time.At.TotalSeconds, 3),
                Timecode = timecode.LabelAt(time.At),
                Moment = time.Why,
                Change = time.Change,
                Part = time.Part,
                State = state,
                Fixtures = SidecarMaker.Fixtures(source.Stage, moment, camera, (f, called) => seen?.GetValueOrDefault(called) ?? covers.Value.Of(f)),
                Pieces = old?.Pieces ?? covers.Value.Pieces(moment),
                Tolerance = RigTolerance.For(rig, name, store, asked.Renderer),
            };
            var kept = old is null ? null : store.Save(sidecar with { Pixels = old.Pixels, Width = old.Width, Height = old.Height });
            var lit = sidecar.Fixtures.Count(f => f.Lit);
            written.Add(new SnappedFrame((kept ?? Draw(sidecar, source.Stage, time.At, camera)) with { Fixtures = [], Pieces = [] }, kept is not null));
            told?.Invoke(new SnapProgress(written.Count, frames.Count, written[^1], lit));
        }

        (record with { Complete = true }).Save(asked.Out);
        store.Sweep();
        var doubts = source.Doubts.Concat(pictures.LeftOut).ToList();
        return doubts.Count > 0 ? throw StopException.Wrong(string.Join(Environment.NewLine, doubts)) : written;

        FrameSidecar Draw(FrameSidecar sidecar, StageModel stage, TimeSpan at, Camera camera)
        {
            var picture = pictures.Draw(stage.MomentAt(at, TimeSpan.FromSeconds(camera.ShutterSeconds)), camera, size, asked.Detail);
            return store.Save(sidecar, new FrameImage(picture.Width, picture.Height, picture.Rgba));
        }
    }

    /// <summary>The size that all frames of a folder have, or null.</summary>
    private static FrameSize? SizeOf(string? folder)
    {
        var sizes = folder is null || !Directory.Exists(folder) ? []
            : FrameSet.Open(folder).Frames.Values.Select(f => f.ReadSidecar()).OfType<FrameSidecar>()
                .Select(s => new FrameSize(s.Width, s.Height)).Distinct().ToList();
        return sizes.Count == 1 ? sizes[0] : null;
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
