using StageView.Snapshot.Files;
using StageView.Snapshot.Frames;

namespace StageView.Snapshot.Baselines;

/// <summary>Takes named frames as the new baseline.</summary>
public sealed class Acceptance(TimeProvider clock)
{
    /// <summary>All or nothing: every frame is looked at before the first is written. A named frame that only the base has is removed.</summary>
    /// <returns>What was done, a line a frame.</returns>
    /// <exception cref="SnapshotException">A frame is in neither set, can't be read, or was drawn by another renderer.</exception>
    public IReadOnlyList<string> Take(AcceptRequest request)
    {
        ArgumentNullException.ThrowIfNull(request);
        var old = Directory.Exists(request.BaseFolder) ? FrameSet.Open(request.BaseFolder).Frames : new Dictionary<string, FrameEntry>();
        var steps = request.Frames.Select(name => Plan(request, old, name)).ToList();
        var lines = steps.ConvertAll(step => step());
        if (Directory.Exists(request.BaseFolder))
        {
            new BaselineStore(request.BaseFolder).Sweep();
        }

        return lines;
    }

    private Func<string> Plan(AcceptRequest request, IReadOnlyDictionary<string, FrameEntry> old, string name)
    {
        old.TryGetValue(name, out var was);
        if (!request.New.Frames.TryGetValue(name, out var entry))
        {
            return was is null
                ? throw new SnapshotException($"there is no frame named {name}, neither in {request.New.Folder} nor in {request.BaseFolder}")
                : () => Remove(was);
        }

        var sidecar = entry.ReadSidecar();
        var before = was?.ReadSidecar();
        if (before is not null && !request.OtherRenderer && !SameRenderer(before, sidecar))
        {
            throw new SnapshotException(
                $"{name}: the baseline was drawn by '{Who(before)}', the new frame by '{Who(sidecar)}': take it with --other-renderer only when the whole set "
                + $"moves to that renderer");
        }

        var image = FrameFile.Load(entry.PictureOf(sidecar));
        var record = new AcceptRecord(request.By, request.Why, clock.GetUtcNow(), before?.Pixels, before?.Rig?.Sha256, before?.Capture?.Sha256);
        sidecar ??= new FrameSidecar { Frame = name, Image = "", Pixels = "", Width = image.Width, Height = image.Height };
        var facts = entry.ReadFacts(sidecar);
        return () =>
        {
            var store = new BaselineStore(request.BaseFolder);
            var factsFile = facts?.Save(Path.GetDirectoryName(store.SidecarFile(name))!);
            var tolerance = sidecar.Tolerance is { Mask: { } mask } t
                ? t with { Mask = store.SaveMask(Path.Combine(Path.GetDirectoryName(entry.SidecarFile!)!, mask)) } : sidecar.Tolerance;
            store.Save(sidecar with { Frame = name, Facts = factsFile, Tolerance = tolerance, Accepted = record }, image, PngPacking.Smallest);
            if (was is { PictureFile: { } bare })
            {
                // A bare picture makes room for the stored one.
                File.Delete(bare);
            }

            return was is null ? $"{name}: added" : $"{name}: replaced";
        };
    }

    private static string Remove(FrameEntry entry)
    {
        File.Delete(entry.SidecarFile ?? entry.PictureFile!);
        return $"{entry.Name}: removed";
    }

    private static bool SameRenderer(FrameSidecar a, FrameSidecar? b) =>
        b is not null && (a.Renderer, a.Driver) == (b.Renderer, b.Driver);

    private static string Who(FrameSidecar? s) => s is null ? "unknown" : $"{s.Renderer}, {s.Driver}";
}
