using StageView.Light.Moments;
using StageView.Rig.Assets;
using StageView.Rig.Keys;
using StageView.Rig.Pieces;
using StageView.Rig.Source;
using StageView.Wire.Universes;

namespace StageView.Rig.Scene;

/// <summary>Reads scene files into a <see cref="SceneBuild"/>, includes first met first.</summary>
internal sealed class SceneReader
{
    private const int MaxIncludes = 200;
    private readonly SceneBuild _build;
    private readonly ProfileStore _profiles;
    private readonly PlaceReader _places;
    private readonly HashSet<string> _seen = new(StringComparer.Ordinal);

    public SceneReader(SceneBuild build, RigLoadOptions options)
    {
        _build = build;
        _profiles = new ProfileStore(build, options);
        _places = new PlaceReader(build);
    }

    public void ReadFile(string path)
    {
        var full = Path.GetFullPath(path);
        _seen.Add(full);
        if (SourceParser.TryRead(full, path, _build.Problems) is { } root)
        {
            ReadRoot(root, full);
        }
    }

    /// <summary>What the venue adds, after the tour rig; what it moves and removes was heard while that was read.</summary>
    public void ReadVenue()
    {
        if (_build.Venue is not { } venue)
        {
            return;
        }

        var folder = Path.GetDirectoryName(venue.FullPath)!;
        ReadProfileFolders(venue.Root, folder);
        if (venue.Root.Get("network") is { } n)
        {
            _build.Network = ReadNetwork(n);
            venue.Changed("network settings replaced");
        }

        venue.CheckUnused(_build.Problems);
        venue.Silent = true;
        Replace(venue, "cameras", _build.Cameras, c => c.Name, _places.Camera);
        Replace(venue, "areas", _build.Areas, a => a.Name, _places.Area);
        Replace(venue, "volumes", _build.Volumes, v => v.Name, _places.Volume);
        foreach (var limit in venue.Root.Get("limits")?.Members ?? [])
        {
            _build.Limits[limit.Key] = limit.Value.Number;
            venue.Changed($"caution limit {limit.Key} set");
        }

        Replace(venue, "sightLines", _build.SightLines, l => l.Name, _places.SightLine);

        _build.VenueRuns.AddRange(venue.Root.ListOf("patchRuns"));
        foreach (var kind in (string[])["parts", "hangs", "scenery", "mirrors"])
        {
            foreach (var added in venue.Root.ListOf(kind))
            {
                venue.Changed($"{kind.TrimEnd('s')} \"{added.TextOr("name")}\" added");
            }
        }

        Replace(venue, "focusPoints", _build.FocusPoints, p => p.Name, _places.FocusPoint);
        new PartReader(_build, _profiles, folder).ReadContents(venue.Root);
    }

    private static void Replace<T>(VenueOverlay venue, string key, List<T> items, Func<T, string> nameOf, Action<SourceNode> read)
    {
        foreach (var node in venue.Root.ListOf(key))
        {
            var name = node.TextOr("name");
            var replaced = items.RemoveAll(i => nameOf(i) == name) > 0;
            read(node);
            var kind = key switch { "focusPoints" => "focus point", "sightLines" => "sight line", _ => key.TrimEnd('s') };
            venue.Changed($"{kind} \"{name}\" {(replaced ? "replaced" : "added")}");
        }
    }

    private void ReadRoot(SourceNode root, string full)
    {
        KeyChecker.Check(root, SceneKeys.Rig, _build.Problems);
        if (root.Kind != SourceKind.Object || _build.Problems.Stopped || _build.Problems.IsFull)
        {
            return;
        }

        var folder = Path.GetDirectoryName(full)!;
        ReadProfileFolders(root, folder);
        if (root.Has("name"))
        {
            _build.Name ??= root.TextOr("name");
        }

        _build.Bounces ??= root.Has("bounces") ? root.IntegerOr("bounces", 2) : null;
        _build.Haze ??= root.Get("haze") is { } h ? ReadHaze(h) : null;
        _build.Network ??= root.Get("network") is { } n ? ReadNetwork(n) : null;
        var entries = _build.Venue?.Entries ?? 0;
        foreach (var c in root.ListOf("cameras").TakeWhile(c => _build.Bounds.Compare(c, entries)))
        {
            _places.Camera(c);
        }

        foreach (var a in root.ListOf("areas").TakeWhile(a => _build.Bounds.Compare(a, entries)))
        {
            _places.Area(a);
        }

        foreach (var f in root.ListOf("focusPoints").TakeWhile(f => _build.Bounds.Compare(f, entries)))
        {
            _places.FocusPoint(f);
        }

        foreach (var l in root.ListOf("sightLines").TakeWhile(l => _build.Bounds.Compare(l, entries)))
        {
            _places.SightLine(l);
        }

        _build.Feeds.AddRange(root.ListOf("feeds").Select(f => new PowerFeed(
            f.TextOr("name"), f.NumberOr("volts", (float)PowerFeed.UsualVolts), f.Has("amps") ? f.NumberOr("amps", 0) : null)));
        _build.Connections.AddRange(root.ListOf("connections").Select(c => (
            new Connection(c.TextOr("from"), c.TextOr("plug"), c.TextOr("to"), c.TextOr("toPlug")), c)));
        _build.NotTakenOver.AddRange(root.TextsOf("notTakenOver"));
        foreach (var v in root.ListOf("volumes").TakeWhile(v => _build.Bounds.Compare(v, entries)))
        {
            _places.Volume(v);
        }

        foreach (var limit in root.Get("limits")?.Members ?? [])
        {
            _build.Limits.TryAdd(limit.Key, limit.Value.Number);
        }

        foreach (var c in root.ListOf("content"))
        {
            _build.Content.Add((ContentReader.Read(c, folder, _build), c));
        }

        foreach (var m in root.ListOf("maps"))
        {
            _build.PixelMaps.Add((PixelMapReader.Read(m, folder, _build), m));
        }

        foreach (var p in root.ListOf("presets"))
        {
            _build.Presets.Add(new RigPreset
            {
                Name = p.TextOr("name"),
                Haze = p.Get("haze") is { } air ? ReadHaze(air) : null,
                EvStep = p.NumberOr("evStep", 0),
                Camera = p.TextOr("camera"),
            });
        }

        _build.Compare.AddRange(root.ListOf("compare").Select(c => CompareReader.Read(c, folder, _build)));
        _build.PatchRuns.AddRange(root.ListOf("patchRuns"));
        new PartReader(_build, _profiles, folder).ReadContents(root);
        ReadIncludes(root, folder);
    }

    private void ReadProfileFolders(SourceNode root, string folder)
    {
        _profiles.AddFolder(folder);
        foreach (var named in root.TextsOf("profiles"))
        {
            var at = Path.GetFullPath(Path.Combine(folder, named));
            if (Directory.Exists(at))
            {
                _profiles.AddFolder(at);
            }
            else
            {
                _build.Problems.Error(root.Get("profiles")!, $"no folder {named} (from {folder})");
            }
        }
    }

    private void ReadIncludes(SourceNode root, string folder)
    {
        foreach (var named in root.TextsOf("include"))
        {
            var at = root.Get("include")!;
            var full = Path.GetFullPath(Path.Combine(folder, named));
            if (!_seen.Add(full))
            {
                _build.Problems.Error(at, $"{named} is already part of this rig: a file is included once, and never by itself");
                continue;
            }

            if (_seen.Count > MaxIncludes)
            {
                _build.Problems.Error(at, $"more than {MaxIncludes} files are included");
                return;
            }

            if (!_build.Assets.Files.Has(full, SourceFileKind.Include))
            {
                _build.Problems.Error(at, $"no file {named} to include");
                continue;
            }

            var shown = Path.Combine(Path.GetDirectoryName(root.File) ?? "", named);
            if (_build.Options.Instead is { } instead && instead.File == full)
            {
                (full, shown) = (instead.By, instead.By);
            }

            if (SourceParser.TryRead(full, shown, _build.Problems) is { } included)
            {
                ReadRoot(included, full);
            }
        }
    }

    private static Haze ReadHaze(SourceNode h)
    {
        var drift = h.VectorOr("drift", default);
        return new Haze(
            h.NumberOr("extinction", 0),
            h.NumberOr("albedo", .97f),
            h.NumberOr("forward", .7f),
            h.NumberOr("unevenness", 0),
            h.NumberOr("patchSize", 2),
            drift.X,
            drift.Y,
            drift.Z,
            h.IntegerOr("seed", 0),
            h.FlagOr("fill", false));
    }

    private static NetworkSettings ReadNetwork(SourceNode n)
    {
        var console = n.Get("console");
        return new NetworkSettings
        {
            ArtNet = new ArtNetMapping(n.Get("artNet")?.IntegerOr("firstUniverse", 1) ?? 1),
            Listen = n.TextsOf("listen"),
            Merge = Rule(n.TextOr("merge")),
            MergeByUniverse = n.Get("mergeByUniverse")?.Members
                .Where(m => int.TryParse(m.Key, out _))
                .ToDictionary(m => int.Parse(m.Key), m => Rule(m.Value.Text)) ?? [],
            PerAddressPriority = n.FlagOr("perAddressPriority", false),
            AcceptPreview = n.FlagOr("acceptPreview", true),
            Nodes = [.. n.ListOf("nodes").Select(d => new FeedNode(
                d.TextOr("name"), [.. d.NumbersOf("universes").Select(u => (int)u)], d.TextsOf("positions")))],
            ConsoleAttributes = console?.Has("attributes") == true ? console.IntegerOr("attributes", 0) : null,
            ConsoleUniverses = console?.Has("universes") == true ? console.IntegerOr("universes", 0) : null,
            Consoles = [.. n.ListOf("consoles").Select(c => new ConsoleCapacity(c.TextOr("name"), c.Has("source") ? c.TextOr("source") : c.TextOr("name"),
                c.Has("universes") ? c.IntegerOr("universes", 0) : null, c.Has("attributes") ? c.IntegerOr("attributes", 0) : null))],
        };

        static MergeRule Rule(string word) => word == "latest" ? MergeRule.Ltp : MergeRule.Htp;
    }
}
