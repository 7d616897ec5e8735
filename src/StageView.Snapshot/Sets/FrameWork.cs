using System.Collections.Concurrent;
using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using System.Text.Json;
using StageView.Snapshot.Compare;
using StageView.Snapshot.Files;
using StageView.Snapshot.Frames;
using StageView.Snapshot.Images;
using StageView.Snapshot.Pairs;
using StageView.Snapshot.Why;

namespace StageView.Snapshot.Sets;

/// <summary>Answers for one frame of a set.</summary>
internal sealed class FrameWork(SetRequest request, FactsCache facts)
{
    /// <summary>Counts up when the comparison itself changes, so that no journal of an older one is believed.</summary>
    private const string Version = "3";

    private readonly ConcurrentDictionary<string, FrameMask> _masks = new();

    public string KeyOf(FramePair pair)
    {
        var text = new StringBuilder(Version);
        foreach (var entry in new[] { Entry(request.Base, pair.Base), Entry(request.New, pair.New) })
        {
            foreach (var file in new[] { entry?.SidecarFile, entry is null ? null : Try(() => entry.PictureOf(entry.ReadSidecar())) })
            {
                var info = file is null ? null : new FileInfo(file);
                text.Append(CultureInfo.InvariantCulture,
                    $"|{file}:{(info?.Exists == true ? info.Length : -1)}:{(info?.Exists == true ? info.LastWriteTimeUtc.Ticks : 0)}");
            }
        }

        text.Append(JsonSerializer.Serialize(request.Asked, SnapshotJson.Line)).Append(JsonSerializer.Serialize(request.Base.Settings, SnapshotJson.Line));
        return Convert.ToHexStringLower(SHA256.HashData(Encoding.UTF8.GetBytes(text.ToString())))[..32];
    }

    /// <summary>Whether the difference picture of an earlier answer is still in the work folder.</summary>
    public bool IsStillThere(FrameResult result) =>
        result.DifferenceFile is null || File.Exists(Path.Combine(request.WorkFolder ?? "", result.DifferenceFile));

    public FrameResult Answer(FramePair pair, string key)
    {
        try
        {
            return Look(pair) with { Key = key };
        }
        catch (SnapshotException e)
        {
            return new FrameResult { Name = pair.Name, Verdict = FrameVerdict.Unreadable, Message = e.Message, Key = key };
        }
    }

    public IReadOnlyList<Cause> WholeCauses(IEnumerable<FramePair> pairs)
    {
        // Resumed frames were not looked at: one pair of facts files a run is enough to tell what differs as a whole.
        foreach (var pair in pairs)
        {
            if (Entry(request.Base, pair.Base) is { } a && Entry(request.New, pair.New) is { } b
                && Try(a.ReadSidecar) is { Facts: not null } sa && Try(b.ReadSidecar) is { Facts: not null } sb)
            {
                Try(() => facts.Between(a, sa, b, sb));
                break;
            }
        }

        return facts.All();
    }

    private static FrameEntry? Entry(FrameSet set, string? name) => name is null ? null : set.Frames.GetValueOrDefault(name);

    private FrameResult Look(FramePair pair)
    {
        var (a, b) = (Entry(request.Base, pair.Base), Entry(request.New, pair.New));
        var (sa, sb) = (a?.ReadSidecar(), b?.ReadSidecar());
        var said = sb ?? sa;
        var result = new FrameResult
        {
            Name = pair.Name,
            BaseName = pair.Base != pair.Name ? pair.Base : null,
            Verdict = a is null ? FrameVerdict.Added : FrameVerdict.Removed,
            Camera = said?.Camera ?? "",
            Seconds = said?.Seconds,
            Timecode = said?.Timecode,
            BaseFile = a?.PictureOf(sa),
            NewFile = b?.PictureOf(sb),
        };
        return a is null || b is null ? result : Compare(result, a, sa, b, sb);
    }

    private FrameResult Compare(FrameResult result, FrameEntry a, FrameSidecar? sa, FrameEntry b, FrameSidecar? sb)
    {
        var settings = SettingsOf(a.Name, a, sa);
        var mask = settings.Mask is { } file ? _masks.GetOrAdd(file, FrameMask.Load) : null;
        var comparison = PairComparer.Compare(
            FrameFile.ReadBytes(result.BaseFile!), result.BaseFile!, FrameFile.ReadBytes(result.NewFile!), result.NewFile!,
            settings.Settings, mask, out var before, out var after);
        var (whole, timing) = sa is null || sb is null ? ([], []) : facts.Between(a, sa, b, sb);
        var answer = result with
        {
            Verdict = comparison.Verdict,
            LargestLevels = comparison.LargestLevels,
            LargestDeep = comparison.LargestDeep,
            ChangedPixels = comparison.ChangedPixels,
            FaintPixels = comparison.FaintPixels,
            EdgePixels = comparison.EdgePixels,
            IgnoredPixels = comparison.IgnoredPixels,
            ChangedShare = comparison.ChangedShare,
            LargestPerceptual = comparison.LargestPerceptual,
            Areas = [.. comparison.Areas.Select(AreaWords.Of)],
            Message = comparison.Verdict == FrameVerdict.SizeMismatch
                ? $"the base has {before!.Width}x{before.Height} pixels, the new frame {after!.Width}x{after.Height}" : null,
            Settings = [.. settings.Lines()],
            Causes = comparison.Verdict == FrameVerdict.Changed && sa is not null && sb is not null
                ? CauseFinder.Find(sa, sb, whole, timing, comparison.Map) : [],
            OtherLevels = comparison.Verdict is FrameVerdict.Identical or FrameVerdict.WithinTolerance && sa is not null && sb is not null
                ? CauseFinder.OtherLevels(sa, sb) : [],
            DifferenceFile = Keep(result.Name, comparison, before, after),
        };
        FrameBuffers.Return(before?.Rgba);
        FrameBuffers.Return(after?.Rgba);
        return answer;
    }

    private EffectiveSettings SettingsOf(string name, FrameEntry a, FrameSidecar? sa)
    {
        var recorded = sa?.Tolerance?.Renderer is { } renderer ? new TolerancePart { Renderer = renderer } : null;
        var said = sa?.Tolerance is { } tolerance ? tolerance with { Renderer = null } : null;
        var settings = new EffectiveSettings().Over(recorded, "the frame's record")
            .Over(said, "rig file", Path.GetDirectoryName(a.SidecarFile ?? a.PictureFile!)!);
        foreach (var (part, source) in request.Base.Settings?.For(name) ?? [])
        {
            settings.Over(part, source, request.Base.Folder);
        }

        return settings.Over(request.Asked, "command line");
    }

    /// <summary>Writes the picture of the difference and returns its name in the work folder.</summary>
    private string? Keep(string name, FrameComparison comparison, FrameImage? before, FrameImage? after)
    {
        if (request.WorkFolder is null || comparison.Map is null || comparison.Verdict != FrameVerdict.Changed)
        {
            return null;
        }

        var file = $"differences/{name.Replace('/', '-')}.png";
        var picture = DifferencePicture.Draw(before!, after!, comparison.Map);
        FrameFile.SaveBytes(FrameFile.EncodePlain(picture, PngPacking.Quick), Path.Combine(request.WorkFolder, file));
        FrameBuffers.Return(picture.Rgba);
        return file;
    }

    private static T? Try<T>(Func<T> get)
    {
        try
        {
            return get();
        }
        catch (SnapshotException)
        {
            return default;
        }
    }
}
