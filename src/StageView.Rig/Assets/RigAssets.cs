using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Scans;
using StageView.Rig.Solids;
using StageView.Rig.Source;

namespace StageView.Rig.Assets;

/// <summary>The lists that rigs refer into by index, growing while files are read.</summary>
internal sealed class RigAssets
{
    private readonly Dictionary<string, int> _meshes = new(StringComparer.Ordinal);
    private readonly Dictionary<string, int> _gobos = new(StringComparer.Ordinal);

    /// <summary>What was read for them, and for the rig around them.</summary>
    public FilesMet Files { get; } = new();

    public List<SceneMesh> Meshes { get; } = [.. UnitMeshes.All];

    public List<GoboImage> Gobos { get; } = [];

    public List<PhotometricWeb> Webs { get; } = [];

    /// <summary>Figures of lasers; places are counted from 1.</summary>
    public List<LaserScan> Scans { get; } = [];

    public int Mesh(string key, Func<SceneMesh> make)
    {
        if (!_meshes.TryGetValue(key, out var i))
        {
            i = Meshes.Count;
            Meshes.Add(make());
            _meshes[key] = i;
        }

        return i;
    }

    /// <summary>1-based index, or 0 where <paramref name="make"/> gives nothing.</summary>
    public int Gobo(string key, Func<GoboImage?> make)
    {
        if (!_gobos.TryGetValue(key, out var i))
        {
            var image = make();
            if (image is null)
            {
                return 0;
            }

            Gobos.Add(image);
            i = Gobos.Count;
            _gobos[key] = i;
        }

        return i;
    }
}
