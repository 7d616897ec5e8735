using System.Security.Cryptography;
using StageView.Ground.Files;
using StageView.Render.Output;

namespace StageView.Show.Video;

/// <summary>
/// Renders a plan, or one shard of it, to a video file. Finished segments are kept in a folder beside it until the whole is
/// done, so that a stopped render goes on where it was.
/// </summary>
/// <param name="frameAt">The frame of a show time, of the plan's size. It must depend on the time alone; the picture is not changed afterwards.</param>
/// <param name="ffmpeg">The encoder.</param>
/// <param name="clock">For the remaining time alone.</param>
/// <param name="renderer">What draws the frames; pieces drawn by another are not mixed in.</param>
internal sealed class VideoRender(Func<TimeSpan, PixelImage> frameAt, Ffmpeg ffmpeg, TimeProvider clock, string renderer = "")
{
    /// <summary>
    /// Writes the video (or the shard beside it) and returns the file; null for a shard that has no frames because the video has fewer segments than shards.
    /// </summary>
    /// <param name="plan">What is rendered.</param>
    /// <param name="shard">Which share of it.</param>
    /// <param name="video">The file of the whole video; a shard's own name follows from it.</param>
    /// <param name="progress">Called after each frame.</param>
    /// <param name="stop">Ends the render; finished segments stay.</param>
    /// <exception cref="StopException">The folder holds pieces of another render, or the encoder is missing or gave up.</exception>
    public async Task<string?> RunAsync(VideoPlan plan, Shard shard, string video, Action<VideoProgress>? progress, CancellationToken stop)
    {
        Ffmpeg.Container(video);
        var file = VideoNames.ShardFile(video, shard);
        var (first, end) = plan.SegmentsOf(shard);
        if (end <= first)
        {
            return null;
        }

        var manifest = VideoManifest.Of(plan, shard, renderer);
        if (!shard.IsWhole && Finished(file, manifest, end - first))
        {
            progress?.Invoke(new VideoProgress(plan.FramesOf(shard), plan.FramesOf(shard), plan.FramesOf(shard), TimeSpan.Zero));
            return file;
        }

        var parts = VideoNames.Parts(file);
        var ledger = Path.Combine(parts, "render.json");
        manifest = Resume(parts, ledger, manifest);
        var total = plan.FramesOf(shard);
        var kept = manifest.Segments.Keys.Sum(s => plan.FramesOf(s).End - plan.FramesOf(s).First);
        var done = kept;
        progress?.Invoke(new VideoProgress(done, total, kept, null));
        var started = clock.GetTimestamp();
        void FrameDone()
        {
            done++;
            var pace = clock.GetElapsedTime(started) / (done - kept);
            progress?.Invoke(new VideoProgress(done, total, kept, pace * (total - done)));
        }

        for (var segment = first; segment < end; segment++)
        {
            if (manifest.Segments.ContainsKey(segment))
            {
                continue;
            }

            var piece = VideoNames.Segment(parts, segment);
            manifest.Segments[segment] = await EncodeAsync(plan, segment, piece, FrameDone, stop).ConfigureAwait(false);
            manifest.Write(ledger);
        }

        await ffmpeg.JoinAsync([.. Enumerable.Range(first, end - first).Select(s => VideoNames.Segment(parts, s))], file, stop).ConfigureAwait(false);
        if (!shard.IsWhole)
        {
            (manifest with { File = await VideoManifest.SumAsync(file, stop).ConfigureAwait(false) }).Write(VideoNames.Manifest(file));
        }

        Directory.Delete(parts, recursive: true);
        return file;
    }

    private async Task<string> EncodeAsync(VideoPlan plan, int segment, string piece, Action frameDone, CancellationToken stop)
    {
        var part = WholeFile.PartOf(piece);
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        using (var run = ffmpeg.Encode(plan, part))
        {
            var (first, end) = plan.FramesOf(segment);
            var writing = Task.CompletedTask;
            for (var frame = first; frame < end; frame++)
            {
                stop.ThrowIfCancellationRequested();
                var at = plan.TimeOf(frame);
                // The next frame is rendered while the one before goes down the pipe.
                var image = frameAt(at);
                if (image.Width != plan.Width || image.Height != plan.Height)
                {
                    throw new InvalidOperationException($"the frame at {at} is {image.Width}x{image.Height}, not {plan.Width}x{plan.Height}");
                }

                hash.AppendData(image.Rgba);
                await writing.ConfigureAwait(false);
                writing = run.WriteAsync(image.Rgba, stop);
                frameDone();
            }

            await writing.ConfigureAwait(false);
            await run.FinishAsync(stop).ConfigureAwait(false);
        }

        WholeFile.Finish(piece);
        return Convert.ToHexStringLower(hash.GetHashAndReset());
    }

    /// <summary>Whether an earlier run has left this very shard whole.</summary>
    private static bool Finished(string file, VideoManifest wanted, int segments)
    {
        var beside = VideoNames.Manifest(file);
        if (!File.Exists(file) || !File.Exists(beside))
        {
            return false;
        }

        var found = VideoManifest.Read(beside);
        return found.Difference(wanted) is null && found.Shard == wanted.Shard && found.Segments.Count == segments;
    }

    private static VideoManifest Resume(string parts, string ledger, VideoManifest wanted)
    {
        Directory.CreateDirectory(parts);
        if (!File.Exists(ledger))
        {
            wanted.Write(ledger);
            return wanted;
        }

        var found = VideoManifest.Read(ledger);
        if (found.Difference(wanted) is { } why)
        {
            throw StopException.Wrong($"{parts} holds segments of another render ({why}): delete that folder, or choose another --out");
        }

        foreach (var (segment, _) in found.Segments.Where(s => !File.Exists(VideoNames.Segment(parts, s.Key))).ToArray())
        {
            found.Segments.Remove(segment);
        }

        return found;
    }
}
