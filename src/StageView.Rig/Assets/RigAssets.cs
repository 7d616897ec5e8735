using System.Globalization;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Scans;
using StageView.Rig.Archives;
using StageView.Rig.Solids;
using StageView.Rig.Source;

namespace StageView.Rig.Assets;

/// <summary>The lists that rigs refer into by index, growing while files are read.</summary>
internal sealed class RigAssets
{
    private readonly Dictionary<string, int> _meshes = new(StringComparer.Ordinal);
    private readonly Dictionary<string, int> _gobos = new(StringComparer.Ordinal);

    private readonly Dictionary<string, (SceneMesh? Mesh, string Why)> _models = new(StringComparer.Ordinal);
    private readonly Dictionary<string, int> _webs = new(StringComparer.Ordinal);

    /// <summary>What the profiles and archives of a rig may come to.</summary>
    public ArchiveBudget Budget { get; init; } = new();

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

    /// <summary>Index of measured intensities that are read once, or -1 where <paramref name="read"/> finds none.</summary>
    public int Web(string key, Func<int> read)
    {
        if (!_webs.TryGetValue(key, out var i))
        {
            _webs[key] = i = read();
        }

        return i;
    }

    /// <summary>A picture by the caller's decoder, within what all pictures may come to.</summary>
    public bool TryDecode(ImageDecoder decode, byte[] file, out int size, out byte[] rgb, out string why)
    {
        (size, rgb) = (0, []);
        if (!Budget.Pixels(PictureSize.PixelsOf(file)))
        {
            why = string.Create(CultureInfo.InvariantCulture, $"with it the pictures have more than {ArchiveBudget.MaxPixels} pixels, the most that is read");
            return false;
        }

        if (!decode(file, out size, out rgb, out why))
        {
            return false;
        }

        if (!Budget.Gobos(rgb.Length))
        {
            why = string.Create(CultureInfo.InvariantCulture,
                $"with it the gobos take more than {ArchiveBudget.MaxGoboBytes >> 20} MiB, the most that is kept");
            return false;
        }

        return true;
    }

    /// <summary>The mesh of a model file that is read once, or why it can't be.</summary>
    public (SceneMesh? Mesh, string Why) Model(string key, Func<(SceneMesh? Mesh, string Why)> read)
    {
        if (!_models.TryGetValue(key, out var model))
        {
            _models[key] = model = read();
        }

        return model;
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
