using StageView.Ground.Files;
using StageView.Rig.Assets;
using StageView.Rig.Gdtf;
using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>Finds profiles by name in folders and reads each once.</summary>
internal sealed class ProfileStore
{
    private static readonly string[] Extensions = [".fixture.jsonc", ".fixture.json", ".gdtf"];
    private readonly Dictionary<string, FixtureProfile?> _read = new(StringComparer.Ordinal);
    private readonly Dictionary<(string Name, string Folder, int Folders), string?> _located = [];
    private readonly List<string> _folders = [];
    private readonly HashSet<SourceNode> _told = new(ReferenceEqualityComparer.Instance);
    private readonly SceneBuild _build;
    private readonly RigLoadOptions _options;

    public ProfileStore(SceneBuild build, RigLoadOptions options)
    {
        _build = build;
        _options = options;
    }

    public void AddFolder(string folder)
    {
        if (!_folders.Contains(folder))
        {
            _folders.Add(folder);
        }
    }

    public FixtureProfile? Find(SourceNode named, string sceneFolder)
    {
        if (!_located.TryGetValue((named.Text, sceneFolder, _folders.Count), out var path))
        {
            _located[(named.Text, sceneFolder, _folders.Count)] = path = Locate(named.Text, sceneFolder);
        }

        if (path is null)
        {
            // A hang in a row is read once for each place: looking through the folders for a like name each time would not end.
            if (!_told.Add(named))
            {
                return null;
            }

            _build.Problems.Error(named,
                $"no fixture profile \"{named.Text}\"{Nearest.Hint(named.Text, Known(), ".")} Looked for {named.Text}.fixture.jsonc, "
                + $".fixture.json and .gdtf in {Folders()}");
            return null;
        }

        if (!_read.TryGetValue(path, out var profile))
        {
            var before = _build.Problems.Errors;
            profile = Path.GetExtension(path).Equals(".gdtf", StringComparison.OrdinalIgnoreCase)
                ? GdtfFile.Read(path, Shown(path), _build.Assets, _options, _build.Problems)
                : new ProfileReader(_build.Assets, _options, _build.Problems).Read(path, Shown(path));
            if (profile is null && _build.Problems.Errors == before)
            {
                _build.Problems.Error(named, $"{Shown(path)} can't be read as a fixture profile");
            }

            _read[path] = profile;
        }

        return profile;
    }

    private string? Locate(string name, string sceneFolder)
    {
        if (name.Contains('.', StringComparison.Ordinal) || name.Contains('/', StringComparison.Ordinal))
        {
            var direct = Path.GetFullPath(Path.Combine(sceneFolder, name));
            if (_build.Assets.Files.Has(direct, SourceFileKind.Profile))
            {
                return direct;
            }
        }

        if (name.Contains("..", StringComparison.Ordinal) || Path.IsPathRooted(name))
        {
            return null;
        }

        foreach (var folder in _folders.Concat(_options.ProfileFolders))
        {
            foreach (var candidate in Extensions.Select(e => name + e).Append(name))
            {
                var full = Path.GetFullPath(Path.Combine(folder, candidate));
                if (_build.Assets.Files.Has(full, SourceFileKind.Profile))
                {
                    return full;
                }
            }
        }

        return null;
    }

    private string Folders() => string.Join(", ", _folders.Concat(_options.ProfileFolders).Select(Shown)
        .DefaultIfEmpty("(no profile folder is named: add \"profiles\")"));

    private IEnumerable<string> Known()
    {
        foreach (var folder in _folders.Concat(_options.ProfileFolders).Where(Directory.Exists))
        {
            foreach (var file in Directory.EnumerateFiles(folder).Order(StringComparer.Ordinal).Take(2000))
            {
                var extension = Array.Find(Extensions, e => file.EndsWith(e, StringComparison.OrdinalIgnoreCase));
                if (extension is not null)
                {
                    yield return Path.GetFileName(file)[..^extension.Length];
                }
            }
        }
    }

    private static string Shown(string path)
    {
        var relative = Path.GetRelativePath(Environment.CurrentDirectory, path);
        return Slashes.Of(relative.Length < path.Length ? relative : path);
    }
}
