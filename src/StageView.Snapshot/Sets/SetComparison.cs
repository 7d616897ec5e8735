using StageView.Snapshot.Files;
using StageView.Snapshot.Pairs;

namespace StageView.Snapshot.Sets;

/// <summary>Compares two sets of frames, a bounded number of pairs at a time.</summary>
public static class SetComparison
{
    /// <param name="request">What to compare.</param>
    /// <param name="progress">Told after each frame, or null.</param>
    /// <param name="stop">Ends the run between frames; what was answered is in the journal.</param>
    public static SetResult Run(SetRequest request, Action<SetProgress>? progress = null, CancellationToken stop = default)
    {
        ArgumentNullException.ThrowIfNull(request);
        var pairs = FramePairing.Of(request.Base, request.New)
            .Where(p => !(request.Part && p.New is null) && (request.Only is null || request.Only(p.Name) || (p.Base is { } b && request.Only(b))))
            .Where((_, i) => i % request.Shards == request.Shard - 1).ToArray();
        var results = new FrameResult[pairs.Length];
        var facts = new FactsCache();
        var gate = new object();
        var (done, resumed) = (0, 0);
        using var alone = request.WorkFolder is { } folder ? FolderLock.Take(folder) : null;
        using var journal = new Journal(request.WorkFolder, request.Resume);
        var work = new FrameWork(request, facts);
        Parallel.For(0, pairs.Length, new ParallelOptions { MaxDegreeOfParallelism = request.Parallel, CancellationToken = stop }, i =>
        {
            var key = work.KeyOf(pairs[i]);
            var known = journal.Find(pairs[i].Name, key);
            if (known is not null && !work.IsStillThere(known))
            {
                known = null;
            }

            results[i] = known ?? work.Answer(pairs[i], key);
            lock (gate)
            {
                journal.Add(results[i]);
                done++;
                resumed += known is null ? 0 : 1;
                progress?.Invoke(new SetProgress(done, pairs.Length, resumed, results[i]));
            }
        });
        return new SetResult
        {
            BaseFolder = request.Base.Folder,
            NewFolder = request.New.Folder,
            Frames = results,
            Causes = work.WholeCauses(pairs),
            Doubts = request.Part ? [] : [.. new[] { request.Base.Lacks, request.New.Lacks }.OfType<string>()],
            Resumed = resumed,
        };
    }
}
