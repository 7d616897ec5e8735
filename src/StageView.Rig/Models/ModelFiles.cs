using StageView.Light;

namespace StageView.Rig;

/// <summary>Reads model files into one mesh in metres, Z up.</summary>
internal static class ModelFiles
{
    public const int MaxTriangles = 2_000_000;
    private const int MaxBytes = 256 << 20;

    /// <summary>A file that the user names; glTF may bring its buffers beside it.</summary>
    public static SceneMesh? TryRead(string path, string shownAs, out string why)
    {
        try
        {
            if (new FileInfo(path).Length > MaxBytes)
            {
                why = $"{shownAs} is larger than {MaxBytes >> 20} MiB";
                return null;
            }

            return TryRead(File.ReadAllBytes(path), Path.GetExtension(path).TrimStart('.'), shownAs, out why, Path.GetDirectoryName(path));
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            why = $"{shownAs} can't be read: {e.Message}";
            return null;
        }
    }

    /// <param name="bytes">The whole file.</param>
    /// <param name="extension">Without the dot.</param>
    /// <param name="name">What to call it.</param>
    public static SceneMesh? TryRead(byte[] bytes, string extension, string name, out string why, string? folder = null)
    {
        switch (extension.ToUpperInvariant())
        {
            case "GLB" or "GLTF":
                return GltfReader.TryRead(bytes, name, folder, out why);
            case "3DS":
                return TdsReader.TryRead(bytes, name, out why);
            case "OBJ":
                return ObjReader.TryRead(bytes, name, out why);
            default:
                why = $"{name}: models are read from GLB, glTF, 3DS and OBJ files";
                return null;
        }
    }
}
