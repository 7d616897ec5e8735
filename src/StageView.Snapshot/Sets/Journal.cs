using System.Text.Json;
using StageView.Snapshot.Frames;

namespace StageView.Snapshot.Sets;

/// <summary>The answers of a run as they come, a JSON line each, so that a stopped run goes on where it was.</summary>
internal sealed class Journal : IDisposable
{
    public const string Name = "journal.jsonl";

    private readonly Dictionary<string, FrameResult> _known = new(StringComparer.Ordinal);
    private readonly StreamWriter? _writer;

    public Journal(string? folder, bool resume)
    {
        if (folder is null)
        {
            return;
        }

        Directory.CreateDirectory(folder);
        var path = Path.Combine(folder, Name);
        if (resume && File.Exists(path))
        {
            foreach (var line in File.ReadLines(path))
            {
                Take(line);
            }
        }

        // Written anew without the stale lines; a line cut short by a stop is lost with them.
        _writer = new StreamWriter(path, append: false);
    }

    /// <summary>The earlier answer to the same question, if there is one.</summary>
    public FrameResult? Find(string frame, string key) => _known.TryGetValue(frame, out var r) && r.Key == key ? r : null;

    public void Add(FrameResult result)
    {
        if (_writer is not null)
        {
            _writer.WriteLine(JsonSerializer.Serialize(result, SnapshotJson.Line));
            _writer.Flush();
        }
    }

    public void Dispose() => _writer?.Dispose();

    private void Take(string line)
    {
        try
        {
            if (JsonSerializer.Deserialize<FrameResult>(line, SnapshotJson.Line) is { } result)
            {
                _known[result.Name] = result;
            }
        }
        catch (JsonException)
        {
            // A half line of a stopped run answers nothing.
        }
    }
}
