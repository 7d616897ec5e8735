using StageView.Light;

namespace StageView.Rig;

/// <summary>Reads model files into one mesh in metres, Z up.</summary>
internal static class ModelFiles
{
    public const int MaxTriangles = 2_000_000;

    /// <param name="bytes">The whole file.</param>
    /// <param name="extension">Without the dot.</param>
    /// <param name="name">What to call it.</param>
    public static SceneMesh? TryRead(byte[] bytes, string extension, string name, out string why)
    {
        switch (extension.ToUpperInvariant())
        {
            case "GLB" or "GLTF":
                return GltfReader.TryRead(bytes, name, out why);
            case "3DS":
                return TdsReader.TryRead(bytes, name, out why);
            default:
                why = $"{name}: models are read from GLB, glTF and 3DS files";
                return null;
        }
    }
}
