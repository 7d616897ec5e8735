using System.Globalization;
using System.Numerics;
using System.Text;
using StageView.Ground.Numbers;
using StageView.Ground.Words;
using StageView.Light.Geometry;
using StageView.Rig.Archives;
using StageView.Rig.Profiles;
using StageView.Rig.Scene;
using StageView.Rig.Source;
using static StageView.Rig.Mvr.MvrText;

namespace StageView.Rig.Mvr;

/// <summary>
/// Writes the <c>content</c> of an imported rig: what each fixture shows of a mapped picture (DIN SPEC 15801, MappingDefinition, Mapping), laid over the
/// rectangle that its pixels fill at rest. What can't be laid is told, and its files are kept.
/// </summary>
internal sealed class MvrContent
{
    /// <summary>Entries that a rig file may have.</summary>
    private const int MostEntries = 1000;

    private readonly SafeArchive _archive;
    private readonly MvrScene _scene;
    private readonly MvrCarriers _carriers;
    private readonly List<string> _notes;
    private readonly Func<string, string, string, string> _keep;
    private readonly MvrMedia _media;
    private readonly UniqueNames _names = new();
    private readonly Dictionary<FixtureMode, (MvrFace? Face, string Why)> _faces = new(ReferenceEqualityComparer.Instance);
    private readonly Dictionary<(string What, string Why), (int Count, string First)> _told = [];

    /// <param name="archive">The archive.</param>
    /// <param name="scene">The scene.</param>
    /// <param name="carriers">Where fixtures are at rest.</param>
    /// <param name="notes">What is not taken over.</param>
    /// <param name="keep">Writes an entry into a folder, by entry, folder and the name that the scene uses; returns its path from the rig file.</param>
    public MvrContent(SafeArchive archive, MvrScene scene, MvrCarriers carriers, List<string> notes, Func<string, string, string, string> keep)
    {
        (_archive, _scene, _carriers, _notes, _keep) = (archive, scene, carriers, notes, keep);
        _media = new MvrMedia(archive, keep);
    }

    /// <param name="b">The rig file, in the middle of a list.</param>
    /// <param name="names">Names of the scene's fixtures, in their order.</param>
    public void Write(StringBuilder b, IReadOnlyList<string> names)
    {
        b.Append("  ],\n  \"content\": [\n");
        // Each entry's fixture is looked for among all.
        var most = Math.Min(MostEntries, SceneBounds.MaxComparisons / 2 / Math.Max(1, names.Count));
        var written = 0;
        var shown = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        var met = new HashSet<string>(StringComparer.OrdinalIgnoreCase);
        for (var i = 0; i < names.Count; i++)
        {
            met.Clear();
            foreach (var mapping in _scene.Fixtures[i].Mappings)
            {
                shown.Add(mapping.Of);
                var why = !met.Add(mapping.Of) ? "a fixture shows one part of a picture, its first is taken"
                    : written >= most ? string.Create(CultureInfo.InvariantCulture, $"a rig of this size has {most} entries of content at most")
                    : Entry(b, i, mapping, names[i]);
                written += why.Length == 0 ? 1 : 0;
                Tell(_scene.MappingSources.TryGetValue(mapping.Of, out var of) ? $"mapping \"{of.Name}\"" : $"mapping \"{mapping.Of}\"", why, names[i]);
            }
        }

        foreach (var (_, source) in _scene.MappingSources.Where(s => !shown.Contains(s.Key)))
        {
            _notes.Add($"mapping \"{source.Name}\": no fixture shows it");
        }

        foreach (var ((what, why), seen) in _told)
        {
            _notes.Add($"{what} on \"{seen.First}\"{(seen.Count > 1 ? $" and others, {Counted.Of(seen.Count, "fixture")} in all" : "")}: {why}");
        }

        KeepRest();
    }

    /// <returns>Why not; empty where it was written.</returns>
    private string Entry(StringBuilder b, int fixture, MvrMapping mapping, string name)
    {
        if (!_scene.MappingSources.TryGetValue(mapping.Of, out var source))
        {
            return "there is no such mapping definition";
        }

        if (source.Type != "File" || source.Source.Length == 0)
        {
            return source.Type.Length == 0 || source.Source.Length == 0 ? "it has no source"
                : $"its {source.Type} source \"{source.Source}\" is live, and live sources are not read";
        }

        if (_carriers.Mode(fixture) is not { } mode)
        {
            return "a placeholder box " + MvrFace.NoPixels;
        }

        if (!_faces.TryGetValue(mode, out var known))
        {
            _faces[mode] = known = (MvrFace.Of(mode, out var why), why);
        }

        if (known.Face is not { } face)
        {
            return $"{_scene.Fixtures[fixture].Spec}, mode \"{mode.Name}\", {known.Why}";
        }

        if (name.Contains('*', StringComparison.Ordinal))
        {
            return "a name with a * means several fixtures in \"content\": rename it";
        }

        var picture = _media.Of(source.Source);
        if (picture.Why.Length > 0)
        {
            return $"its source {source.Source} {picture.Why}";
        }

        if (Lies(source, mapping, picture) is not { } part)
        {
            return $"the size of its source {source.Source} isn't stated";
        }

        var root = _carriers.Root(fixture);
        var (across, down) = (root.TransformDirection(face.Across), root.TransformDirection(face.Down));
        Vector3 Along(Vector2 v) => (across * v.X) + (down * v.Y);
        var (corner, x, y) = (root.TransformPoint(face.Corner) + Along(part.Corner), Along(part.Across), Along(part.Down));
        if (!(Vector3.Cross(x, y).Length() > 2e-6f) || !(Vector3.Abs(corner) + Vector3.Abs(x) + Vector3.Abs(y) is var far && far.X + far.Y + far.Z < 1e6f))
        {
            return "its picture would be smaller than a speck or larger than a landscape";
        }

        b.Append("    { \"name\": ").Append(Q(_names.Give(NameOf($"{source.Name} on {name}")))).Append(", \"file\": ").Append(Q(picture.Path))
            .Append(", \"corner\": ").Append(V(corner)).Append(", \"across\": ").Append(V(x)).Append(", \"down\": ").Append(V(y))
            .Append(CultureInfo.InvariantCulture, $", \"luminance\": {Math.Min(1e6f, face.Luminance):0.####}").Append(picture.Film ? ", \"repeat\": true" : "")
            .Append(", \"fixtures\": [").Append(Q(name)).Append("] },\n");
        if (face.Moves || _scene.Fixtures[fixture].Carrier is not null)
        {
            Tell($"mapping \"{source.Name}\"", "its pixels move: the picture lies where they are at rest, and stays there", name);
        }

        if (picture.Size is null && source.Scale != MvrMappingSource.IgnoreRatio)
        {
            _notes.Add($"mapping \"{source.Name}\": the size of {source.Source} isn't read: it fills all of SizeX by SizeY");
        }

        return "";
    }

    /// <summary>Where a source's picture lies, in shares of the face's width and height from its top left corner.</summary>
    private (Vector2 Corner, Vector2 Across, Vector2 Down)? Lies(MvrMappingSource source, MvrMapping mapping, MvrMedia.Picture picture)
    {
        var whole = source is { Width: > 0, Height: > 0 } ? new Vector2(source.Width, source.Height) : picture.Size ?? Vector2.Zero;
        if (whole.X <= 0 || whole.Y <= 0)
        {
            return null;
        }

        var size = whole;
        if (picture.Size is { } own)
        {
            size = source.Scale switch
            {
                MvrMappingSource.IgnoreRatio => whole,
                MvrMappingSource.KeepSize => own,
                _ => own * MathF.Min(whole.X / own.X, whole.Y / own.Y),
            };
            if (source.Scale is not (MvrMappingSource.KeepRatio or MvrMappingSource.IgnoreRatio or MvrMappingSource.KeepSize))
            {
                _notes.Add($"mapping \"{source.Name}\": its ScaleHandeling \"{source.Scale}\" is not known; {MvrMappingSource.KeepRatio} is taken");
            }
        }

        var part = new Vector2(mapping.Width > 0 ? mapping.Width : whole.X, mapping.Height > 0 ? mapping.Height : whole.Y);
        var middle = new Vector2(mapping.X, mapping.Y) + (part / 2);
        var (sin, cos) = Trig.SinCos(Angles.Radians(mapping.Turn % 360));

        // The part is turned counter-clockwise; seen from it, the picture turns the other way. Pixels count downwards.
        Vector2 InFace(Vector2 v) => new Vector2((v.X * cos) - (v.Y * sin), (v.X * sin) + (v.Y * cos)) / part;
        return (InFace(((whole - size) / 2) - middle) + new Vector2(.5f), InFace(new Vector2(size.X, 0)), InFace(new Vector2(0, size.Y)));
    }

    private void Tell(string what, string why, string fixture)
    {
        if (why.Length > 0)
        {
            var seen = _told.GetValueOrDefault((what, why), (0, fixture));
            _told[(what, why)] = (seen.Item1 + 1, seen.Item2);
        }
    }

    /// <summary>Writes the pictures and films that nothing shows, so that <c>content</c> can name them.</summary>
    private void KeepRest()
    {
        foreach (var file in _scene.Media.Distinct(StringComparer.OrdinalIgnoreCase).Where(f => !_media.IsLaid(f)))
        {
            if (_archive.Find(file) is not { } entry)
            {
                _notes.Add($"the video source {file} is not in the archive");
            }
            else if (MvrMedia.IsMedia(entry) && _archive.TryReadShared(entry) is not null)
            {
                _notes.Add($"the video source {file} is written to {_keep(entry, "media", file)}: \"content\" in the rig file can lay it over pixel surfaces");
            }
        }
    }
}
