namespace StageView.Ground.Files;

/// <summary>Files that are either there in full or not at all.</summary>
public static class WholeFile
{
    /// <exception cref="IOException">The folder is missing or can't be written to.</exception>
    public static void Write(string path, ReadOnlySpan<byte> bytes)
    {
        var part = path + ".part";
        using (var file = new FileStream(part, FileMode.Create, FileAccess.Write))
        {
            file.Write(bytes);
        }

        File.Move(part, path, overwrite: true);
    }
}
