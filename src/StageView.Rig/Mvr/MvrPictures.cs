using StageView.Rig.Archives;

namespace StageView.Rig.Mvr;

/// <summary>Files that a model of an MVR archive names: beside it, or wherever in the archive they lie.</summary>
internal sealed class MvrPictures
{
    private readonly SafeArchive _archive;
    private readonly string _folder;
    private readonly Dictionary<string, byte[]> _met = new(StringComparer.Ordinal);

    public MvrPictures(SafeArchive archive, string model)
    {
        _archive = archive;
        _folder = model[..(model.LastIndexOf('/') + 1)];
    }

    /// <summary>What was found, by the name that the model will look for.</summary>
    public IReadOnlyDictionary<string, byte[]> Met => _met;

    public byte[]? Read(string uri)
    {
        var name = Uri.UnescapeDataString(uri).Replace('\\', '/');
        if (!_met.TryGetValue(name, out var bytes) && (_archive.Find(_folder + name) ?? _archive.Find(name)) is { } entry
            && _archive.TryReadShared(entry) is { } read)
        {
            _met[name] = bytes = read;
        }

        return bytes;
    }
}
