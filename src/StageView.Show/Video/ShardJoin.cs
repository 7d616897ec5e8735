using System.Globalization;
using System.Text.RegularExpressions;

namespace StageView.Show.Video;

/// <summary>Puts the shards of a video together, without encoding anew, after checking that all are there and belong together.</summary>
public sealed partial class ShardJoin(Ffmpeg ffmpeg)
{
    /// <param name="video">The file of the whole video.</param>
    /// <param name="shards">Shard files in any order; empty for those that lie beside <paramref name="video"/>.</param>
    /// <param name="stop">Ends it; no half video is left.</param>
    /// <returns>Shards joined and frames of the video.</returns>
    /// <exception cref="StopException">Shards are missing, double or do not match; the message names them.</exception>
    public async Task<(int Shards, int Frames)> RunAsync(string video, IReadOnlyList<string> shards, CancellationToken stop)
    {
        Ffmpeg.Container(video);
        var files = shards.Count > 0 ? shards : Beside(video);
        if (files.Count == 0)
        {
            throw StopException.Wrong(
                $"no shards lie beside {video}: they are called {Path.GetFileName(VideoNames.ShardFile(video, new Shard(1, 16)))} and so on; name them if "
                + $"they lie elsewhere");
        }

        var described = files.Select(f => (File: f, Said: Describe(f))).OrderBy(s => s.Said.Shard).ThenBy(s => s.File, StringComparer.Ordinal).ToArray();
        var (lead, plan) = (described[0], described[0].Said.Plan(described[0].File));
        foreach (var (file, said) in described.Skip(1))
        {
            if (said.Difference(lead.Said) is { } why)
            {
                throw StopException.Wrong($"{file} does not belong to {lead.File}: {why}");
            }
        }

        Complete(video, described, lead.Said.Shards, plan);
        foreach (var (file, said) in described)
        {
            if (said.File != await VideoManifest.SumAsync(file, stop).ConfigureAwait(false))
            {
                throw StopException.Wrong(
                    $"{file} is not what was rendered as shard {said.Shard}/{said.Shards}: copy it again with its description, or render it again");
            }
        }

        await ffmpeg.JoinAsync([.. described.Select(d => d.File)], video, stop).ConfigureAwait(false);
        var frames = await ffmpeg.CountAsync(video, stop).ConfigureAwait(false);
        return frames == plan.Frames
            ? (described.Length, frames)
            : throw StopException.Machine($"{video} came out with {frames} frames instead of {plan.Frames}");
    }

    private static void Complete(string video, (string File, VideoManifest Said)[] shards, int count, VideoPlan plan)
    {
        if (count is < 1 or > Shard.Most)
        {
            throw StopException.Wrong($"{shards[0].File} says it is one of {count} shards: render it again");
        }

        var byNumber = shards.ToLookup(s => s.Said.Shard);
        if (byNumber.FirstOrDefault(g => g.Count() > 1) is { } twice)
        {
            throw StopException.Wrong($"shard {twice.Key}/{count} is there twice: {string.Join(" and ", twice.Select(s => s.File))}");
        }

        var missing = Enumerable.Range(1, count).Where(k => !byNumber.Contains(k) && plan.FramesOf(new Shard(k, count)) > 0).ToArray();
        if (missing.Length > 0)
        {
            var named = string.Join(", ", missing.Take(8).Select(k => k.ToString(CultureInfo.InvariantCulture))) + (missing.Length > 8 ? " and more" : "");
            throw StopException.Wrong(
                $"{missing.Length} of {count} shards are missing ({named}): the first would be {VideoNames.ShardFile(video, new Shard(missing[0], count))}");
        }
    }

    private static VideoManifest Describe(string file)
    {
        if (!File.Exists(file))
        {
            throw StopException.Wrong($"{file} does not exist");
        }

        var beside = VideoNames.Manifest(file);
        return File.Exists(beside)
            ? VideoManifest.Read(beside)
            : throw StopException.Wrong($"{file} has no description beside it ({Path.GetFileName(beside)}): it is written when a shard is finished; copy both");
    }

    private static List<string> Beside(string video)
    {
        var folder = Path.GetDirectoryName(video) is { Length: > 0 } d ? d : ".";
        if (!Directory.Exists(folder))
        {
            return [];
        }

        var (stem, extension) = (Path.GetFileNameWithoutExtension(video), Path.GetExtension(video));
        return [.. Directory.EnumerateFiles(folder)
            .Where(f => Path.GetFileName(f) is var n
                && n.StartsWith(stem + ".shard-", StringComparison.Ordinal) && n.EndsWith(extension, StringComparison.Ordinal)
                && ShardPart().IsMatch(n[(stem.Length + 1)..^extension.Length]))
            .Order(StringComparer.Ordinal)];
    }

    [GeneratedRegex(@"^shard-\d+-of-\d+$")]
    private static partial Regex ShardPart();
}
