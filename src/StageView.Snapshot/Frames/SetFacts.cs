using StageView.Snapshot.Files;

namespace StageView.Snapshot.Frames;

/// <summary>What all frames of a run have in common: written once, named by its hash.</summary>
public sealed record SetFacts
{
    public const string FormatNow = "stageview-facts/1";

    public string Format { get; init; } = FormatNow;

    /// <summary>What the rig, its profiles and its venue say.</summary>
    public IReadOnlyList<RigFact> Rig { get; init; } = [];

    /// <summary>What happens when in the capture.</summary>
    public IReadOnlyList<ChangeRecord> Changes { get; init; } = [];

    /// <summary>Writes it into a folder and returns its file name.</summary>
    public string Save(string folder)
    {
        var bytes = System.Text.Json.JsonSerializer.SerializeToUtf8Bytes(this, SnapshotJson.Line);
        var name = $"facts-{Convert.ToHexStringLower(System.Security.Cryptography.SHA256.HashData(bytes))[..12]}.json";
        var path = Path.Combine(folder, name);
        if (!File.Exists(path))
        {
            FrameFile.SaveBytes(bytes, path);
        }

        return name;
    }
}
