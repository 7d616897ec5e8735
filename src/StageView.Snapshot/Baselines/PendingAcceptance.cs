using StageView.Snapshot.Files;
using StageView.Snapshot.Frames;

namespace StageView.Snapshot.Baselines;

/// <summary>
/// Sidecars on their way into a folder of baselines: gathered beside it, then put in place together. A run that is stopped before that leaves the baselines
/// as they were; one that is stopped within is ended by the next.
/// </summary>
internal sealed class PendingAcceptance
{
    private readonly string _folder;
    private readonly string _pending;
    private readonly List<Move> _moves = [];
    private readonly List<string> _gone = [];

    /// <summary>Ends what an earlier run left.</summary>
    public PendingAcceptance(string folder)
    {
        (_folder, _pending) = (folder, Path.Combine(folder, BaselineStore.PendingFolder));
        var commit = Path.Combine(_pending, BaselineStore.PendingFile);
        if (File.Exists(commit))
        {
            Apply(SnapshotJson.Read<Commit>(commit));
        }

        Clear();
    }

    /// <summary>A sidecar to come.</summary>
    public void Add(FrameSidecar sidecar, string target)
    {
        string name;
        lock (_moves)
        {
            name = FormattableString.Invariant($"{_moves.Count}.json");
            _moves.Add(new Move(name, Path.GetRelativePath(_folder, target)));
        }

        FrameFile.SaveBytes(SidecarText.Of(sidecar), Path.Combine(_pending, name));
    }

    /// <summary>A file to go.</summary>
    public void Remove(string file)
    {
        lock (_moves)
        {
            _gone.Add(Path.GetRelativePath(_folder, file));
        }
    }

    /// <summary>Puts all in place.</summary>
    public void Finish()
    {
        var commit = new Commit(_moves, [.. _gone.Except(_moves.Select(m => m.To), StringComparer.Ordinal)]);
        SnapshotJson.Write(commit, Path.Combine(_pending, BaselineStore.PendingFile));
        Apply(commit);
        Clear();
    }

    public void Clear()
    {
        if (Directory.Exists(_pending))
        {
            Directory.Delete(_pending, recursive: true);
        }
    }

    private void Apply(Commit commit)
    {
        foreach (var move in commit.Moves)
        {
            var from = Path.Combine(_pending, move.From);
            if (File.Exists(from))
            {
                var to = Inside(move.To);
                Directory.CreateDirectory(Path.GetDirectoryName(to)!);
                File.Move(from, to, overwrite: true);
            }
        }

        foreach (var gone in commit.Gone)
        {
            File.Delete(Inside(gone));
        }
    }

    /// <summary>Never outside the baselines, whatever the file says.</summary>
    private string Inside(string relative)
    {
        var full = Path.GetFullPath(Path.Combine(_folder, relative));
        return full.StartsWith(Path.GetFullPath(_folder) + Path.DirectorySeparatorChar, StringComparison.Ordinal)
            ? full : throw new SnapshotException($"{_pending}: '{relative}' lies outside the baselines");
    }

    private sealed record Move(string From, string To);

    private sealed record Commit(IReadOnlyList<Move> Moves, IReadOnlyList<string> Gone);
}
