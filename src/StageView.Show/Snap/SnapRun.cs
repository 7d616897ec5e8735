using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Render.Output;
using StageView.Show.Frames;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Snapshot.Files;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Images;

namespace StageView.Show.Snap;

/// <summary>A frame of a run.</summary>
/// <param name="Sidecar">Its record, without what was lit.</param>
/// <param name="TakenOver">Whether its picture was there already, drawn from the same.</param>
/// <param name="Lit">Fixtures that are lit in it.</param>
public sealed record SnappedFrame(FrameSidecar Sidecar, bool TakenOver, int Lit);

/// <summary>How far a run is.</summary>
/// <param name="Done">Frames so far.</param>
/// <param name="Total">Frames in all.</param>
/// <param name="Last">The newest.</param>
public sealed record SnapProgress(int Done, int Total, SnappedFrame Last);

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
        using var source = SourceChoice.WithContent(new CaptureShow(rig, asked.Capture), asked.Inputs);
        var timecode = CaptureTimecode.Read(asked.Capture);
        var records = found.Records(asked.Capture, timecode);
        var times = SnapTime.Of(asked, source, found, records);
        var store = new BaselineStore(asked.Out);
        var before = asked.Against is { } b && Directory.Exists(b) ? FrameSet.Open(b) : null;
        var like = asked.Size is null || asked.Detail is null ? LooksOf(before) : default;
        var (size, detail) = (asked.Size ?? like.Size ?? FrameSize.Default, asked.Detail ?? like.Detail);
        var style = PictureStyle.Parse(null, null, null, null, detail);
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
            Detail = detail is "normal" ? null : detail,
            Facts = new SetFacts { Rig = RigFacts.Of(rig), Changes = records }.Save(asked.Out),
        };
        using var pictures = new Pictures();
        common = common with { Renderer = pictures.Renderer, Driver = pictures.Driver };
        // A machine gets whole moments where there are enough of them: their cameras share work, and no machine gets the costliest camera alone.
        var byMoments = times.Count >= asked.Shards;
        var frames = times.SelectMany((time, n) => cameras.Select((camera, i) => (time, camera, Turn: byMoments ? n : (n * cameras.Count) + i)))
            .Where(f => f.Turn % asked.Shards == asked.Shard - 1)
            .Select(f => (f.time, f.camera, Name: $"{f.time.Label}.{FrameNames.Slug(f.camera.Name)}")).ToList();
        var record = Begin(asked, store, [.. frames.Select(f => f.Name)]);
        var drawn = new DrawnFrames(asked.All ? [] : [FrameSet.Open(asked.Out), .. before is null ? Array.Empty<FrameSet>() : [before]]);
        var shared = new SharedMoment(source, new StateKey(pictures.Renderer, pictures.Driver, size, style));
        var written = new List<SnappedFrame>();
        var spare = new PixelImage?[2];
        using var behind = new OneBehind<SnappedFrame>(Take);
        foreach (var (time, camera, name) in frames)
        {
            var (moment, lit, digest) = shared.Of(time.At, camera);
            var state = shared.Keys.Of(digest, camera);
            var old = drawn.TakeOver(state, name, store);

            // While this one is drawn, the one before it is packed and recorded; its picture's bytes are then free again.
            var picture = old is null ? pictures.Draw(moment, camera, size, style, spare[0]) : null;
            spare = [spare[1], picture ?? spare[0]];
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
            };
            behind.Start(() => Finish(sidecar with { Tolerance = RigTolerance.For(rig, name, store, asked.Renderer) }, moment, camera, lit, old, picture));
        }

        behind.End();
        (record with { Complete = true }).Save(asked.Out);
        store.Sweep();
        var doubts = source.Doubts.Concat(pictures.LeftOut).ToList();
        return doubts.Count > 0 ? throw StopException.Wrong(string.Join(Environment.NewLine, doubts)) : written;

        SnappedFrame Finish(
            FrameSidecar sidecar, Moment moment, Camera camera, IReadOnlyList<(FixtureIndex Fixture, FixtureRecord Record)> lit, FrameSidecar? old,
            PixelImage? picture)
        {
            // Of the same moment light is seen where it was.
            var seen = old?.Fixtures.DistinctBy(f => f.Name).ToDictionary(f => f.Name, f => f.Covers, StringComparer.Ordinal);
            var covers = new Lazy<BeamCovers>(() => new BeamCovers(moment, camera, size.Width, size.Height));
            sidecar = sidecar with
            {
                Fixtures = [.. lit.Select(f => f.Record with { Covers = seen?.GetValueOrDefault(f.Record.Name) ?? covers.Value.Of(f.Fixture) })],
                Pieces = old?.Pieces ?? covers.Value.Pieces(moment),
            };
            var saved = picture is null
                ? store.Save(sidecar with { Pixels = old!.Pixels, Width = old.Width, Height = old.Height })
                : store.Save(sidecar, new FrameImage(picture.Width, picture.Height, picture.Rgba));
            return new SnappedFrame(saved with { Fixtures = [], Pieces = [] }, old is not null, lit.Count(f => f.Record.Lit));
        }

        void Take(SnappedFrame frame)
        {
            written.Add(frame);
            told?.Invoke(new SnapProgress(written.Count, frames.Count, frame));
        }
    }

    /// <summary>The size and the detail that all frames of a folder have; null where they differ, or there are none.</summary>
    private static (FrameSize? Size, string? Detail) LooksOf(FrameSet? set)
    {
        var looks = (set?.Frames.Values ?? []).Select(f => f.ReadSidecar()).OfType<FrameSidecar>()
            .Select(s => (Size: new FrameSize(s.Width, s.Height), s.Detail)).Distinct().ToList();
        return (looks.DistinctBy(l => l.Size).Count() == 1 ? looks[0].Size : null, looks.DistinctBy(l => l.Detail).Count() == 1 ? looks[0].Detail : null);
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
