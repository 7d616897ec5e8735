using StageView.Ground.Files;
using StageView.Rig.Assets;

namespace StageView.Rig.ModelReaders;

/// <summary>What a model may use beside its own bytes.</summary>
/// <param name="Beside">The bytes of a file that the model names, or null; null where no file may be opened.</param>
/// <param name="Decode">Reads pictures; without it models are read without theirs.</param>
/// <param name="Told">Hears of what is left out.</param>
internal sealed record ModelContext(Func<string, byte[]?>? Beside = null, ImageDecoder? Decode = null, Action<string>? Told = null)
{
    public static ModelContext None { get; } = new();

    /// <summary>Files in a folder, by the names that a model writes: as they are, or percent-encoded, or in another case.</summary>
    /// <param name="folder">The model's folder; nothing outside it is opened.</param>
    /// <param name="met">Hears of each file that is opened.</param>
    public static Func<string, byte[]?> InFolder(string folder, Action<string>? met) => asked =>
    {
        foreach (var name in (string[])[asked, Uri.UnescapeDataString(asked)])
        {
            if (SafePath.TryInside(folder, name, out var full) && (File.Exists(full) ? full : Alike(full)) is { } found)
            {
                met?.Invoke(found);
                return BoundedFile.TryRead(found, ModelFiles.MaxBytes, out var bytes, out _) ? bytes : null;
            }
        }

        return null;
    };

    private static string? Alike(string full)
    {
        var folder = Path.GetDirectoryName(full)!;
        var name = Path.GetFileName(full);
        return Directory.Exists(folder)
            ? Directory.EnumerateFiles(folder).FirstOrDefault(f => Path.GetFileName(f).Equals(name, StringComparison.OrdinalIgnoreCase)) : null;
    }
}
