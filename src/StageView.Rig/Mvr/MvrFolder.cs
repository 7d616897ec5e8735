using System.Globalization;
using System.Numerics;
using System.Text;
using StageView.Ground.Files;
using StageView.Light.Geometry;
using StageView.Rig.Archives;
using StageView.Rig.Assets;
using StageView.Rig.Gdtf;
using StageView.Rig.ModelReaders;
using StageView.Rig.Profiles;
using StageView.Rig.Source;
using StageView.Wire.Universes;
using static StageView.Rig.Mvr.MvrText;

namespace StageView.Rig.Mvr;

/// <summary>Writes an imported scene: one hang a fixture, one piece a mesh.</summary>
internal sealed class MvrFolder
{
    /// <summary>Notes that the rig file keeps.</summary>
    private const int MostNotes = 1000;
    private readonly SafeArchive _archive;
    private readonly MvrScene _scene;
    private readonly string _folder;
    private readonly string _name;
    private readonly List<string> _notes;
    private readonly List<string> _written = [];
    private readonly Dictionary<string, string> _files = new(StringComparer.Ordinal);
    private readonly Dictionary<string, FixtureProfile?> _profiles = new(StringComparer.Ordinal);
    private readonly Dictionary<string, string> _focus = new(StringComparer.OrdinalIgnoreCase);
    private readonly UniqueNames _names = new();

    /// <summary>The name that the thing of an identity has in the rig.</summary>
    private readonly Dictionary<string, string> _objects = new(StringComparer.OrdinalIgnoreCase);

    private readonly MvrSpecs _specs;
    private readonly MvrPlaceholders _placeholders;
    private readonly MvrCarriers _carriers;
    private readonly MvrOverwrites _overwrites;

    /// <summary>Unique names of the scene's fixtures, in their order.</summary>
    private readonly List<string> _fixtureNames = [];

    public MvrFolder(SafeArchive archive, MvrScene scene, string folder, string name)
    {
        _archive = archive;
        _scene = scene;
        _folder = Path.GetFullPath(folder);
        _name = name;
        _notes = [.. scene.NotUnderstood];
        _specs = new MvrSpecs(archive, _notes);
        _overwrites = new MvrOverwrites(archive, _notes, (stem, bytes) =>
        {
            var name = Free("fixtures", stem, ".gdtf") + ".gdtf";
            Put($"fixtures/{name}", bytes);
            return name;
        });
        _carriers = new MvrCarriers(scene, f => ModeOf(ProfileOf(f.Spec).Profile, f.Mode));
        _placeholders = new MvrPlaceholders(scene.Fixtures, n => Q(NameOf(n)));
        foreach (var p in scene.FocusPoints.Where(p => p.Uuid.Length > 0))
        {
            _focus.TryAdd(p.Uuid, p.Name);
        }
    }

    public ImportReport Write()
    {
        Directory.CreateDirectory(_folder);
        var b = new StringBuilder();
        b.Append("// Imported from an MVR file.\n{\n  \"name\": ").Append(Q(NameOf(_name))).Append(",\n  \"profiles\": [\"fixtures\"],\n  \"hangs\": [\n");
        Directory.CreateDirectory(Path.Combine(_folder, "fixtures"));
        foreach (var f in _scene.Fixtures)
        {
            _fixtureNames.Add(_names.Give(NameOf(f.Name.Length > 0 ? f.Name : ProfileOf(f.Spec).Profile?.Name ?? "fixture")));
            _objects.TryAdd(f.Uuid, _fixtureNames[^1]);
        }

        var sharing = new MvrSharing(_scene.Fixtures, _notes);
        for (var i = 0; i < _scene.Fixtures.Count; i++)
        {
            WriteFixture(b, i, sharing);
        }

        b.Append("  ],\n  \"scenery\": [\n");
        foreach (var p in _scene.Pieces)
        {
            WritePiece(b, p);
        }

        b.Append("  ],\n  \"focusPoints\": [\n");
        foreach (var p in _scene.FocusPoints)
        {
            var at = p.Carrier is { } carrier && _carriers.AtRest(carrier) is { } rest ? rest.Position : p.Position;
            b.Append("    { \"name\": ").Append(Q(NameOf(p.Name))).Append(", \"at\": ").Append(V(at)).Append(Optional("uuid", p.Uuid)).Append(" },\n");
        }

        new MvrContent(_archive, _scene, _carriers, _notes, Copied).Write(b, _fixtureNames);
        MvrTail.Connections(b, _scene, _objects, _notes);
        b.Append("  ],\n  \"notTakenOver\": [\n");
        foreach (var note in _notes.Distinct().Take(MostNotes))
        {
            b.Append("    ").Append(Q(new string([.. note.Where(c => !char.IsControl(c))]))).Append(",\n");
        }

        b.Append("  ]\n}\n");
        var rig = $"{FileName(_name)}.rig.jsonc";
        Put(rig, Encoding.UTF8.GetBytes(b.ToString()));
        return new ImportReport
        {
            RigFile = Path.Combine(_folder, rig),
            Fixtures = _scene.Fixtures.Count,
            Pieces = _scene.Pieces.Count,
            FocusPoints = _scene.FocusPoints.Count,
            Written = _written,
            Notes = [.. _notes.Distinct()],
        };
    }

    private void WriteFixture(StringBuilder b, int index, MvrSharing sharing)
    {
        var sharesPatchOf = sharing.Of(index);
        var f = _scene.Fixtures[index];
        var (file, profile) = ProfileOf(f.Spec);
        var mode = ModeOf(profile, f.Mode);
        if (profile is not null && NameForm.Find(profile.Modes, m => m.Name, f.Mode) is null && (f.Mode.Length > 0 || profile.Modes.Count > 1))
        {
            var refused = NameForm.Find(profile.RefusedModes, m => m.Name, f.Mode);
            _notes.Add(refused is not null ? $"{f.Spec}: the mode \"{f.Mode}\" can't be used ({refused.Why}): \"{mode!.Name}\" is used"
                : f.Mode.Length > 0 ? $"{f.Spec} has no mode \"{f.Mode}\": \"{mode!.Name}\" is used"
                : $"{f.Spec}: no mode is named: \"{mode!.Name}\", its first, is used");
        }

        // Fixtures that share a patch are of one profile.
        var overwrites = _scene.Fixtures[sharing.Root(index)].Overwrites;
        if (!overwrites.SequenceEqual(f.Overwrites))
        {
            _notes.Add($"\"{f.Name}\" shares the patch of \"{_fixtureNames[sharesPatchOf]}\": what that one overwrites holds for it, too");
        }

        file = _overwrites.FileOf(file.EndsWith(".gdtf", StringComparison.OrdinalIgnoreCase) ? _specs.Entry(f.Spec) : "", overwrites) ?? file;
        b.Append("    { \"name\": ").Append(Q(_fixtureNames[index])).Append(", \"profile\": ").Append(Q(Here(file)));
        b.Append(", \"mode\": ").Append(Q(mode is null ? MvrPlaceholders.ModeOf(f) : NameForm.Of(mode.Name)));
        b.Append(Optional("number", f.Id)).Append(Carried(f.Carrier, f.Name, f.Pose));
        b.Append(sharesPatchOf >= 0 ? $", \"sharesPatchOf\": {Q(_fixtureNames[sharesPatchOf])}" : Patch(f, mode));
        var filter = (f.Filter ?? Vector3.One) * _overwrites.InFront(f);
        if (f.Filter is not null || filter != Vector3.One)
        {
            b.Append(", \"filter\": ").Append(V(Vector3.Min(filter, Vector3.One)));
        }

        if (f.InvertPan)
        {
            b.Append(", \"invertPan\": true");
        }

        if (f.InvertTilt)
        {
            b.Append(", \"invertTilt\": true");
        }

        var focus = _focus.GetValueOrDefault(f.Focus, "");
        b.Append(Optional("position", f.Position)).Append(Optional("focus", focus)).Append(Optional("layer", f.Layer)).Append(Optional("class", f.Class))
            .Append(Optional("uuid", f.Uuid)).Append(Optional("notes", f.Notes)).Append(" },\n");
    }

    /// <summary>A profile of this very folder: a rig that includes this one may have another of the same name.</summary>
    private static string Here(string file) => $"fixtures/{file}{(file.EndsWith(".gdtf", StringComparison.OrdinalIgnoreCase) ? "" : ".fixture.jsonc")}";

    private static FixtureMode? ModeOf(FixtureProfile? profile, string named) =>
        profile is null ? null : NameForm.Find(profile.Modes, m => m.Name, named) ?? profile.Modes[0];

    /// <summary>Placed in the part that carries it, or in the scene where that part isn't there.</summary>
    private string Carried(MvrCarrier? carrier, string name, in Pose world)
    {
        if (carrier is null)
        {
            return Placed(world);
        }

        if (_carriers.Part(carrier) is not { } part || MvrMatrix.Split(carrier.Local) is not { } local)
        {
            _notes.Add($"\"{name}\": its ChildPosition {carrier.Part} is no part of \"{_fixtureNames[carrier.Fixture]}\"; it stands still in the scene");
            return Placed(world);
        }

        return $", \"carriedBy\": {{ \"fixture\": {Q(_fixtureNames[carrier.Fixture])}, \"part\": {Q(part.Name)} }}{Placed(local.Pose)}";
    }

    private string Patch(MvrFixture f, FixtureMode? mode)
    {
        if (f.Addresses.Count == 0)
        {
            return "";
        }

        var shift = f.FirstBreak;
        var breaks = mode?.Footprints.Count ?? _placeholders.BreaksOf(f);
        var starts = new string[breaks];
        foreach (var (brk, absolute) in f.Addresses)
        {
            if (brk + shift >= 1 && brk + shift <= breaks)
            {
                starts[brk + shift - 1] = UniverseAddress.FromAbsolute(absolute).ToString();
            }
            else
            {
                _notes.Add(
                    $"\"{f.Name}\": address {UniverseAddress.FromAbsolute(absolute)} of break {brk} is left out: the mode has {breaks}");
            }
        }

        return $", \"patch\": {(breaks == 1 ? Q(starts[0] ?? "none") : "[" + string.Join(", ", starts.Select(s => Q(s ?? "none"))) + "]")}";
    }

    private void WritePiece(StringBuilder b, MvrPiece p)
    {
        if (p.Meshes.Count == 0)
        {
            _notes.Add($"{p.Kind} \"{p.Name}\": has no geometry; left out");
        }

        foreach (var (mesh, i) in p.Meshes.Select((m, i) => (m, i)))
        {
            if (ModelOf(mesh.File) is not { } file)
            {
                continue;
            }

            var name = NameOf(p.Name.Length > 0 ? p.Name : p.Kind);
            name = p.Meshes.Count > 1 ? $"{name} {i + 1}" : name;
            _objects.TryAdd(p.Uuid, name);
            b.Append("    { \"name\": ").Append(Q(name)).Append(", \"shape\": \"model\", \"file\": ").Append(Q(file))
                .Append(Carried(p.Carrier is null ? null : p.Carrier with { Local = MvrMatrix.Of(mesh.Pose) }, p.Name, InScene(p, mesh.Pose)));
            if (Vector3.Distance(mesh.Scale, Vector3.One) > 1e-5f)
            {
                if (mesh.Scale.X < 0)
                {
                    _notes.Add($"{p.Kind} \"{p.Name}\": its reflected mesh is drawn unreflected");
                }

                b.Append(", \"scale\": ").Append(V(Vector3.Abs(mesh.Scale)));
            }

            b.Append(", \"kind\": ").Append(p.Kind is "Truss" or "Support" ? "\"structure\"" : "\"scenery\"")
                .Append(Optional("layer", p.Layer)).Append(Optional("class", p.Class)).Append(Optional("uuid", p.Uuid))
                .Append(Optional("mvrElement", p.Kind is "VideoScreen" or "Projector" or "Support" ? p.Kind : "")).Append(Optional("notes", p.Notes))
                .Append(" },\n");
        }
    }

    /// <summary>Where a carried piece's mesh would stand without its carrier's part: in the fixture itself.</summary>
    private Pose InScene(MvrPiece p, in Pose mesh) => p.Carrier is { } c ? _carriers.Root(c.Fixture).Compose(mesh) : mesh;

    private (string File, FixtureProfile? Profile) ProfileOf(string spec)
    {
        if (_scene.OwnProfiles.TryGetValue(spec, out var own) && _archive.Has(own))
        {
            return (Copied(own, "fixtures", spec), ReadProfile(own, spec));
        }

        var entry = _specs.Entry(spec);
        if (entry.Length > 0 && ReadProfile(entry, spec) is { } read)
        {
            return (Copied(entry, "fixtures", spec), read);
        }

        if (entry.Length == 0)
        {
            _notes.Add(spec.Length == 0 ? "fixtures without a GDTF file are placeholder boxes"
                : $"{spec} is not in the archive: its fixtures are placeholder boxes");
        }

        return (_placeholders.FileOf(spec, (name, bytes) =>
        {
            var free = Free("fixtures", FileName(name), ".fixture.jsonc");
            Put($"fixtures/{free}.fixture.jsonc", bytes);
            return free;
        }), null);
    }

    private FixtureProfile? ReadProfile(string entry, string spec)
    {
        if (_profiles.TryGetValue(entry, out var known))
        {
            return known;
        }

        var problems = new ProblemList();
        FixtureProfile? profile = null;
        if (_archive.Budget.IsSpent)
        {
            _notes.Add("the archive's fixtures come to more geometries, channels or XML than is read: those not yet read are placeholder boxes");
            return _profiles[entry] = null;
        }

        if (_archive.TryRead(entry, out var why) is { } bytes)
        {
            if (entry.EndsWith(".gdtf", StringComparison.OrdinalIgnoreCase))
            {
                profile = GdtfFile.Read(bytes, entry, new RigAssets(), RigLoadOptions.Default, problems, _archive.Budget);
            }
            else if (SourceParser.TryParse(bytes, entry, problems) is { } root && _archive.Budget.Xml(problems.Budget.Values))
            {
                profile = new ProfileReader(new RigAssets { Budget = _archive.Budget }, RigLoadOptions.Default, problems).Read(
                    root, Path.Combine(_folder, "fixtures", entry), entry);
            }

            why = problems.ToList() is [var first, ..] ? first.Text : "";
        }

        if (profile is null)
        {
            _notes.Add($"{spec} can't be read ({why}): its fixtures are placeholder boxes");
        }

        return _profiles[entry] = profile;
    }

    private string? ModelOf(string file)
    {
        // Without an ending it is a 3DS file (DIN SPEC 15801, Geometry3D, fileName).
        var entry = Path.HasExtension(file) ? _archive.Find(file) ?? _archive.Find(file + ".3ds") : _archive.Find(file + ".3ds") ?? _archive.Find(file);
        if (entry is null)
        {
            _notes.Add($"model {file} is not in the archive: left out");
            return null;
        }

        if (_files.TryGetValue(entry, out var known))
        {
            return known;
        }

        var beside = new MvrPictures(_archive, entry);
        if (_archive.TryRead(entry, out var why) is { } bytes && ModelFiles.TryRead(bytes, Path.GetExtension(entry).TrimStart('.'), entry, out why,
            new ModelContext(beside.Read, Told: _notes.Add)) is { } mesh)
        {
            if (_archive.Budget.Triangles(mesh.Indices.Length / 3))
            {
                Keep(beside, entry);
                return Copied(entry, "models", file);
            }

            why = ArchiveBudget.TooManyTriangles;
        }

        _notes.Add($"model left out: {why}");
        return null;
    }

    /// <summary>Writes a model's pictures beside it.</summary>
    private void Keep(MvrPictures beside, string entry)
    {
        foreach (var (name, picture) in beside.Met)
        {
            if (!SafePath.TryInside(Path.Combine(_folder, "models"), name, out _))
            {
                _notes.Add($"{entry}: its picture {name} lies outside the model's folder; it is drawn without");
            }
            else if (!_written.Contains($"models/{name}"))
            {
                Put($"models/{name}", picture);
            }
        }
    }

    /// <summary>Copies an entry into a folder; the name by which the scene file refers to it.</summary>
    private string Copied(string entry, string into, string spec)
    {
        if (_files.TryGetValue(entry, out var known))
        {
            return known;
        }

        var bytes = _archive.TryRead(entry, out _) ?? [];
        var own = entry.EndsWith(".jsonc", StringComparison.OrdinalIgnoreCase);
        var extension = own ? ".fixture.jsonc" : Path.GetExtension(entry).ToLowerInvariant();
        var stem = own ? spec.Replace(".gdtf", "", StringComparison.OrdinalIgnoreCase) : Path.GetFileNameWithoutExtension(entry);
        var name = Free(into, FileName(stem), extension);
        Put($"{into}/{name}{extension}", bytes);
        return _files[entry] = into != "fixtures" ? $"{into}/{name}{extension}" : own ? name : name + extension;
    }

    /// <summary>A file name that no file written so far has, on disks that fold case either.</summary>
    private string Free(string into, string stem, string extension)
    {
        var name = stem;
        for (var i = 2; _written.Contains($"{into}/{name}{extension}", StringComparer.OrdinalIgnoreCase); i++)
        {
            name = string.Create(CultureInfo.InvariantCulture, $"{stem}-{i}");
        }

        return name;
    }

    private void Put(string name, byte[] bytes)
    {
        if (!SafePath.TryInside(_folder, name, out var full))
        {
            throw new IOException($"{name} would lie outside the folder");
        }

        Directory.CreateDirectory(Path.GetDirectoryName(full)!);
        WholeFile.Write(full, bytes);
        _written.Add(name);
    }
}
