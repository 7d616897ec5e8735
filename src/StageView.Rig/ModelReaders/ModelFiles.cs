using StageView.Ground.Files;
using StageView.Light.Moments;

namespace StageView.Rig.ModelReaders;

/// <summary>Reads model files into one mesh in metres, Z up.</summary>
internal static class ModelFiles
{
    public const int MaxTriangles = 750_000;
    public const int MaxBytes = 128 << 20;

    /// <summary>
    /// A file that the user names; glTF may bring its buffers beside it. Other formats go to <paramref name="foreign"/>, OBJ too where it is there.
    /// Pictures and buffers come from <paramref name="around"/>, from the model's folder where it names none.
    /// </summary>
    public static SceneMesh? TryRead(string path, string shownAs, out string why, IForeignModels? foreign = null, ModelContext? around = null)
    {
        var extension = Path.GetExtension(path).TrimStart('.').ToUpperInvariant();
        try
        {
            foreign ??= AssimpModels.Instance;
            var ours = extension is "GLB" or "GLTF" or "3DS" || (extension == "OBJ" && !foreign.Knows(extension));
            if (ours)
            {
                if (BoundedFile.TryRead(path, MaxBytes, out var bytes, out why))
                {
                    return extension == "OBJ" ? ObjReader.TryRead(bytes, shownAs, out why)
                        : TryRead(bytes, extension, shownAs, out why,
                            around ?? new ModelContext(ModelContext.InFolder(Path.GetDirectoryName(path)!, null)));
                }

                why = $"{shownAs}: {why}";
                return null;
            }

            if (new FileInfo(path).Length is 0 or > MaxBytes)
            {
                var tooLarge = $"larger than {MaxBytes >> 20} MiB, which is the most that is read";
                why = $"{shownAs}: {(new FileInfo(path).Length == 0 ? BoundedFile.Empty : tooLarge)}";
                return null;
            }

            if (StoragePointer.IsAt(path))
            {
                why = $"{shownAs}: {StoragePointer.Told}";
                return null;
            }

            if (foreign.Knows(extension))
            {
                return foreign.TryRead(path, shownAs, out why);
            }

            why = foreign.Missing.Length > 0
                ? $"{shownAs}: GLB, glTF, 3DS and OBJ are read here; other formats need libassimp, but {foreign.Missing}: install it, or save the model as GLB"
                : $"{shownAs}: neither StageView nor libassimp reads files that end in .{extension.ToLowerInvariant()}; save the model as GLB";
            return null;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            why = $"{shownAs} can't be read: {e.Message}";
            return null;
        }
    }

    /// <summary>Bytes that may come out of an archive nobody vouches for: only formats that are read by managed code.</summary>
    /// <param name="bytes">The whole file.</param>
    /// <param name="extension">Without the dot.</param>
    /// <param name="name">What to call it.</param>
    /// <param name="why">Why not, where it fails.</param>
    /// <param name="around">What else it may use; nothing when left out.</param>
    public static SceneMesh? TryRead(byte[] bytes, string extension, string name, out string why, ModelContext? around = null)
    {
        switch (extension.ToUpperInvariant())
        {
            case "GLB" or "GLTF":
                return GltfReader.TryRead(bytes, name, around ?? ModelContext.None, out why);
            case "3DS":
                return TdsReader.TryRead(bytes, name, out why);
            default:
                why = $"{name}: models in archives are read from GLB, glTF and 3DS files";
                return null;
        }
    }
}
