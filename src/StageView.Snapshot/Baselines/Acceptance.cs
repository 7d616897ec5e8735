using System.Collections.Concurrent;
using StageView.Snapshot.Files;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Images;
using StageView.Snapshot.Images.Png;
using StageView.Snapshot.Pairs;

namespace StageView.Snapshot.Baselines;

/// <summary>Takes named frames as the new baseline.</summary>
public sealed class Acceptance(TimeProvider clock)
{
    private readonly ConcurrentDictionary<string, Lazy<bool>> _written = new(StringComparer.Ordinal);

    /// <summary>
    /// All or nothing: the baselines are as they were until every frame is written. A new frame takes the place of the one that it pairs with
    /// (<see cref="FramePairing"/>), whatever that one's name is. Memory holds a picture a processor.
    /// </summary>
    /// <returns>What was done, a line a frame.</returns>
    /// <exception cref="SnapshotException">A frame can't be read, was drawn by another renderer, or is not there; or what the name stands for is not clear.
    /// </exception>
    public IReadOnlyList<string> Take(AcceptRequest request)
    {
        ArgumentNullException.ThrowIfNull(request);
        using var alone = FolderLock.Take(request.BaseFolder);
        var pending = new PendingAcceptance(request.BaseFolder);
        var old = FrameSet.Open(request.BaseFolder);
        var pairs = FramePairing.Of(old, request.New);
        var names = request.Frames.Distinct().ToList();
        var (partner, gone) = Check(request, old, pairs, names);
        var lines = new string[names.Count];
        try
        {
            var store = new BaselineStore(request.BaseFolder);
            var many = new ParallelOptions { MaxDegreeOfParallelism = Math.Clamp(Environment.ProcessorCount, 1, 4) };
            Parallel.For(0, names.Count, many, i =>
                lines[i] = Write(request, store, pending, request.New.Frames[names[i]], partner[names[i]] is { } b ? old.Frames[b] : null));
            gone.ForEach(e => pending.Remove(e.SidecarFile ?? e.PictureFile!));
            pending.Finish();
            store.Sweep();
        }
        catch (AggregateException e) when (e.InnerException is not null)
        {
            pending.Clear();
            System.Runtime.ExceptionServices.ExceptionDispatchInfo.Throw(e.InnerException);
        }

        return [.. lines, .. gone.Select(e => $"{e.Name}: removed")];
    }

    /// <summary>Names of the frames that a folder of baselines has and a new set has no counterpart for.</summary>
    public static IReadOnlyList<string> OnlyIn(string baseFolder, FrameSet set) => Directory.Exists(baseFolder)
        ? [.. FramePairing.Of(FrameSet.Open(baseFolder), set).Where(p => p.New is null).Select(p => p.Base!)] : [];

    /// <summary>Looks at every name before anything is written.</summary>
    private static (Dictionary<string, string?> Partner, List<FrameEntry> Gone) Check(
        AcceptRequest request, FrameSet old, IReadOnlyList<FramePair> pairs, List<string> names)
    {
        var byNew = pairs.Where(p => p.New is not null).ToDictionary(p => p.New!, p => p.Base, StringComparer.Ordinal);
        var byBase = pairs.Where(p => p.Base is not null).ToDictionary(p => p.Base!, p => p.New, StringComparer.Ordinal);
        foreach (var name in names)
        {
            if (!byNew.TryGetValue(name, out var partner))
            {
                throw new SnapshotException(old.Frames.ContainsKey(name)
                    ? $"{name}: only {request.BaseFolder} has it; --remove {name} takes it out"
                    : $"there is no frame named {name}, neither in {request.New.Folder} nor in {request.BaseFolder}");
            }

            // A frame of this name that shows something else would be lost.
            if (partner != name && byBase.TryGetValue(name, out var other) && !request.Remove.Contains(name) && (other is null || !names.Contains(other)))
            {
                throw new SnapshotException($"{name}: the baseline of this name shows another look; "
                    + (other is null ? $"take it out by --remove {name}" : $"take {other} along, which is that look now"));
            }
        }

        if (request.Remove.Count > 0 && request.New.Lacks is { } lacks)
        {
            throw new SnapshotException($"{lacks}: what it lacks need not be gone, so nothing is removed");
        }

        var gone = request.Remove.Select(n => byBase.TryGetValue(n, out var other) && other is null ? old.Frames[n]
            : throw new SnapshotException($"{n}: is no frame that only {request.BaseFolder} has, so it is not removed")).ToList();
        return (byNew, gone);
    }

    private string Write(AcceptRequest request, BaselineStore store, PendingAcceptance pending, FrameEntry entry, FrameEntry? was)
    {
        var (sidecar, before) = (entry.ReadSidecar(), was?.ReadSidecar());
        if (before is not null && !request.OtherRenderer && Who(before) != Who(sidecar))
        {
            throw new SnapshotException(
                $"{entry.Name}: the baseline was drawn by '{Who(before)}', the new frame by '{Who(sidecar)}': take it with --other-renderer only "
                + "when the whole set moves to that renderer");
        }

        var (hash, width, height) = Picture(entry, sidecar, store);
        sidecar ??= new FrameSidecar { Frame = entry.Name, Image = "", Pixels = "", Width = width, Height = height };
        var target = store.SidecarFile(entry.Name);
        var kept = sidecar with
        {
            Frame = entry.Name,
            Image = BaselineStore.PictureName(hash.Text),
            Pixels = hash.Text,
            Width = width,
            Height = height,
            Facts = Facts(entry, sidecar, target),
            Tolerance = Tolerance(entry, sidecar, store),
            Accepted = before?.Accepted,
        };
        if (before is not null && was!.Name == entry.Name && SidecarText.Of(kept).AsSpan().SequenceEqual(SidecarText.Of(before)))
        {
            return $"{entry.Name}: unchanged";
        }

        pending.Add(
            kept with { Accepted = new AcceptRecord(request.By, request.Why, clock.GetUtcNow(), before?.Pixels, before?.Rig?.Sha256, before?.Capture?.Sha256) },
            target);
        if (was is not null && (was.SidecarFile is null || was.Name != entry.Name))
        {
            // A bare picture, or a frame of another name, makes room for this one.
            pending.Remove(was.SidecarFile ?? was.PictureFile!);
        }

        return was is null ? $"{entry.Name}: added" : was.Name == entry.Name ? $"{entry.Name}: replaced" : $"{entry.Name}: replaces {was.Name}";
    }

    private string? Facts(FrameEntry entry, FrameSidecar sidecar, string target)
    {
        lock (_written)
        {
            return entry.ReadFacts(sidecar)?.Save(Path.GetDirectoryName(target)!);
        }
    }

    private TolerancePart? Tolerance(FrameEntry entry, FrameSidecar sidecar, BaselineStore store)
    {
        lock (_written)
        {
            return sidecar.Tolerance is { Mask: { } mask } t
                ? t with { Mask = store.SaveMask(Path.Combine(Path.GetDirectoryName(entry.SidecarFile!)!, mask)) } : sidecar.Tolerance;
        }
    }

    /// <summary>Sees to it that the store has the picture; one that it has already is not decoded.</summary>
    private (PixelHash Hash, int Width, int Height) Picture(FrameEntry entry, FrameSidecar? sidecar, BaselineStore store)
    {
        var file = entry.PictureOf(sidecar);
        var bytes = FrameFile.ReadBytes(file);
        if (sidecar is not null && FrameFile.TryStampedHash(bytes, out var stamped) && stamped.Text == sidecar.Pixels
            && File.Exists(store.PictureFile(entry.Name, stamped)))
        {
            return (stamped, sidecar.Width, sidecar.Height);
        }

        if (PngChecks.IsDeep(bytes))
        {
            throw new SnapshotException($"{file}: has 16 bits a channel, baselines have 8: keep the folder itself as BASE, or render it as png");
        }

        var image = FrameFile.Decode(bytes, file);
        var hash = PixelHash.Of(image);
        var target = store.PictureFile(entry.Name, hash);
        // Frames that look alike share a file: one of them writes it.
        _ = _written.GetOrAdd(target, _ => new Lazy<bool>(() =>
        {
            if (!File.Exists(target))
            {
                FrameFile.SaveBytes(FrameFile.Encode(image, hash, PngPacking.Smallest), target);
            }

            return true;
        })).Value;
        return (hash, image.Width, image.Height);
    }

    /// <summary>What drew a frame; bare pictures, and frames taken from them, don't say.</summary>
    private static string Who(FrameSidecar? s) => s is null || s.Renderer.Length + s.Driver.Length == 0 ? "unknown" : $"{s.Renderer}, {s.Driver}";
}
