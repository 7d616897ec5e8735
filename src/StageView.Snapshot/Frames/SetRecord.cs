namespace StageView.Snapshot.Frames;

/// <summary>What a run that draws frames set out to draw into a folder, and whether it got there; each shard has one of its own.</summary>
public sealed record SetRecord
{
    public const string FormatNow = "stageview-set/1";

    private const string Start = "snap-";
    private const string End = ".set.json";

    public string Format { get; init; } = FormatNow;

    /// <summary>This machine's share, from 1.</summary>
    public int Shard { get; init; } = 1;

    public int Shards { get; init; } = 1;

    /// <summary>Names of all frames of this share.</summary>
    public required IReadOnlyList<string> Frames { get; init; }

    /// <summary>Whether every one of them was written.</summary>
    public bool Complete { get; init; }

    public string FileName => FormattableString.Invariant($"{Start}{Shard}-of-{Shards}{End}");

    public void Save(string folder) => SnapshotJson.Write(this, Path.Combine(folder, FileName));

    /// <summary>The record of a share, or null when there is none that can be read.</summary>
    public static SetRecord? Read(string folder, int shard, int shards)
    {
        var file = Path.Combine(folder, new SetRecord { Shard = shard, Shards = shards, Frames = [] }.FileName);
        try
        {
            return File.Exists(file) ? SnapshotJson.Read<SetRecord>(file) : null;
        }
        catch (SnapshotException)
        {
            return null;
        }
    }

    /// <summary>What a folder's frames lack, in words; null when nothing says that they lack anything.</summary>
    internal static string? Lacks(string folder, IReadOnlyDictionary<string, FrameEntry> frames)
    {
        var all = Directory.EnumerateFiles(folder, Start + "*" + End).Order(StringComparer.Ordinal).Select(SnapshotJson.Read<SetRecord>).ToList();
        foreach (var record in all)
        {
            var there = record.Frames.Count(frames.ContainsKey);
            if (!record.Complete || there < record.Frames.Count)
            {
                return $"{folder} holds {there} of the {record.Frames.Count} frames that were to be drawn"
                    + (record.Shards > 1 ? $" by part {record.Shard} of {record.Shards}" : "");
            }
        }

        var missing = all.Count == 0 ? [] : Enumerable.Range(1, all[0].Shards).Except(all.Where(r => r.Shards == all[0].Shards).Select(r => r.Shard)).ToList();
        return missing.Count == 0 ? null
            : $"{folder} holds {all[0].Shards - missing.Count} of {all[0].Shards} parts: part {string.Join(", ", missing)} is missing";
    }
}
