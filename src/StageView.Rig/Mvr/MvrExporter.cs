using System.Globalization;
using System.IO.Compression;
using System.Numerics;
using System.Security.Cryptography;
using System.Text;
using System.Xml;
using System.Xml.Linq;
using StageView.Ground.Words;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Gdtf;
using StageView.Rig.ModelReaders;
using StageView.Rig.Pieces;

namespace StageView.Rig.Mvr;

/// <summary>
/// Writes a rig as MVR 1.6. GDTF profiles go in as they are; our own are written as GDTF for other programs, and go in as they are
/// too, named by StageView's user data, so that our import finds them again.
/// </summary>
public static class MvrExporter
{
    /// <param name="rig">The rig.</param>
    /// <param name="to">The archive is written here.</param>
    /// <returns>What could not be put into the file, one line each.</returns>
    public static IReadOnlyList<string> Export(RigScene rig, Stream to)
    {
        ArgumentNullException.ThrowIfNull(rig);
        ArgumentNullException.ThrowIfNull(to);
        var notes = new List<string>();
        using var zip = new ZipArchive(to, ZipArchiveMode.Create, leaveOpen: true);
        var specs = Profiles(rig, zip, notes, out var own);
        var meshes = Meshes(rig, zip);
        var classes = rig.Fixtures.Select(f => f.Class).Concat(rig.Scenery.Select(s => s.Class)).Where(c => c.Length > 0).Distinct().ToList();
        var positions = rig.Fixtures.Select(f => f.Position).Where(p => p.Length > 0).Distinct().ToList();
        var elements = rig.Fixtures.Select(f => FixtureElement(f, specs[f.Profile.File], rig)).ToArray();
        foreach (var f in rig.Fixtures)
        {
            Carry(f.Carrier, elements[f.Index.Value], elements, rig, notes, f.Name, f.Layer);
        }

        var uuids = rig.Fixtures.Select(f => (f.Name, Uuid: Uuid(f.Uuid, "fixture " + f.Name)))
            .Concat(rig.Scenery.Select((s, i) => (s.Name, Uuid: PieceUuid(s, i)))).DistinctBy(x => x.Name)
            .ToDictionary(x => x.Name, x => x.Uuid, StringComparer.Ordinal);
        var cables = rig.Connections.ToLookup(c => c.From, StringComparer.Ordinal);
        XElement? Cables(IEnumerable<string> of) => of.SelectMany(n => cables[n]).ToList() is not { Count: > 0 } its ? null : new XElement("Connections",
            its.Select(c => new XElement("Connection",
                new XAttribute("own", c.Plug), new XAttribute("other", c.ToPlug), new XAttribute("toObject", uuids[c.To]))));
        foreach (var f in rig.Fixtures)
        {
            elements[f.Index.Value].Element("FixtureID")!.AddBeforeSelf(Cables([f.Name]));
        }

        var layers = new List<XElement>();
        foreach (var layer in rig.Fixtures.Select(f => f.Layer).Concat(rig.Scenery.Select(s => s.Layer)).Append("").Distinct())
        {
            var list = new XElement("ChildList");
            list.Add(rig.Fixtures.Where(f => f.Layer == layer && f.Carrier is null).Select(f => elements[f.Index.Value]));
            // Pieces that came as one object, with one uuid, go out as one.
            foreach (var together in rig.Scenery.Select((s, i) => (Piece: s, Index: i)).Where(x => x.Piece.Layer == layer)
                .GroupBy(x => x.Piece.Uuid.Length > 0 ? (x.Piece.Uuid, x.Piece.Carrier) : ($"piece {x.Index}", x.Piece.Carrier)))
            {
                var s = together.First().Piece;
                var piece = PieceElement([.. together.Select(x => x.Piece)], together.First().Index, meshes);
                piece.Add(Cables(together.Select(x => x.Piece.Name)));
                if (s.Carrier is null)
                {
                    list.Add(piece);
                }
                else
                {
                    Carry(s.Carrier, piece, elements, rig, notes, s.Name, s.Layer);
                }
            }

            if (layer.Length == 0)
            {
                foreach (var p in rig.FocusPoints)
                {
                    list.Add(new XElement("FocusPoint", new XAttribute("uuid", Uuid(p.Uuid, "focus " + p.Name)), new XAttribute("name", p.Name),
                        new XElement("Matrix", MvrMatrix.Write(new Pose(p.Position, Quaternion.Identity))),

                        // DIN SPEC 15801, FocusPoint: Geometries is there once; a point has nothing to draw.
                        new XElement("Geometries")));
                }
            }

            if (list.HasElements)
            {
                layers.Add(new XElement("Layer", new XAttribute("uuid", Uuid("", "layer " + layer)), new XAttribute("name", layer), list));
            }
        }

        var root = new XElement(
            "GeneralSceneDescription",
            new XAttribute("verMajor", "1"), new XAttribute("verMinor", "6"), new XAttribute("provider", "StageView"), new XAttribute("providerVersion", "0.1"),
            own.Count == 0 ? null : new XElement("UserData", new XElement("Data", new XAttribute("provider", "StageView"), new XAttribute("ver", "1"), own)),
            new XElement(
                "Scene",
                new XElement(
                    "AUXData",
                    positions.Select(p => new XElement("Position", new XAttribute("uuid", Uuid("", "position " + p)), new XAttribute("name", p))),
                    classes.Select(c => new XElement("Class", new XAttribute("uuid", Uuid("", "class " + c)), new XAttribute("name", c)))),
                new XElement("Layers", layers)));
        using (var entry = zip.CreateEntry(MvrReader.Description).Open())
        using (var writer = XmlWriter.Create(entry, new XmlWriterSettings { Indent = true, NewLineChars = "\n", Encoding = new UTF8Encoding(false) }))
        {
            root.WriteTo(writer);
        }

        var measured = rig.Fixtures.Count(f => !f.Profile.Modes.Any(m => ReferenceEquals(m, f.Mode)));
        if (measured > 0)
        {
            notes.Add($"\"photometry\" of {Counted.Of(measured, "fixture")}: the format has no place for measured intensities");
        }

        if (rig.Content.Count > 0)
        {
            notes.Add($"\"content\", {Counted.Of(rig.Content.Count, "picture")} over pixels: not written as mappings");
        }

        if (rig.Mirrors.Count > 0)
        {
            notes.Add($"{Counted.Of(rig.Mirrors.Count, "mirror")}: the format has no mirrors");
        }

        return notes;
    }

    private static Dictionary<string, string> Profiles(RigScene rig, ZipArchive zip, List<string> notes, out List<XElement> own)
    {
        var specs = new Dictionary<string, string>(StringComparer.Ordinal);
        own = [];
        foreach (var p in rig.Fixtures.Select(f => f.Profile).DistinctBy(p => p.File))
        {
            if (p.StandsFor is { } missing)
            {
                specs[p.File] = missing;
                notes.Add($"{(missing.Length > 0 ? missing : "a fixture type without a name")}: its file is not here; its fixtures go out with its name alone");
                continue;
            }

            var gdtf = p.File.EndsWith(".gdtf", StringComparison.OrdinalIgnoreCase);
            var stem = new string([.. Path.GetFileName(p.File).Split('.')[0].Select(c => char.IsLetterOrDigit(c) || c is '-' or '_' or ' ' or '@' ? c : '-')]);
            var spec = stem + ".gdtf";
            for (var i = 2; specs.Values.Contains(spec, StringComparer.OrdinalIgnoreCase); i++)
            {
                spec = string.Create(CultureInfo.InvariantCulture, $"{stem}-{i}.gdtf");
            }

            specs[p.File] = spec;
            var name = gdtf ? spec : Path.ChangeExtension(spec, ".fixture.jsonc");
            if (!File.Exists(p.File))
            {
                notes.Add($"{p.File} is no longer there: its fixtures go out without a fixture type");
                continue;
            }

            zip.CreateEntryFromFile(p.File, name);
            if (!gdtf)
            {
                own.Add(new XElement("Profile", new XAttribute("spec", spec), new XAttribute("file", name)));
                var bytes = GdtfWriter.Write(p, rig, out var leftOut);
                using (var to = zip.CreateEntry(spec).Open())
                {
                    to.Write(bytes);
                }

                notes.AddRange(leftOut.Select(n => $"{spec}: {n}"));
            }
        }

        return specs;
    }

    private static Dictionary<int, string> Meshes(RigScene rig, ZipArchive zip)
    {
        var names = new Dictionary<int, string>();
        foreach (var m in rig.Scenery.Select(s => s.Mesh).Distinct())
        {
            var painted = rig.Meshes[m].Paint is not null;
            names[m] = string.Create(CultureInfo.InvariantCulture, $"mesh{m}.{(painted ? "glb" : "3ds")}");
            using var entry = zip.CreateEntry(names[m]).Open();
            entry.Write(painted ? GlbWriter.Write(rig.Meshes[m]) : TdsWriter.Write(rig.Meshes[m]));
        }

        return names;
    }

    /// <summary>What is carried goes into its carrier's children, placed in the part that carries it.</summary>
    private static void Carry(CarrierPart? carrier, XElement carried, XElement[] fixtures, RigScene rig, List<string> notes, string name, string layer)
    {
        if (carrier is not { } c)
        {
            return;
        }

        var by = rig[c.Fixture];
        var path = new List<string>();
        for (var g = c.Geometry; g >= 0; g = by.Mode.Geometry[g].Parent)
        {
            path.Insert(0, by.Mode.Geometry[g].Name);
        }

        carried.Element("Matrix")!.AddAfterSelf(new XElement("ChildPosition", string.Join('.', path)));
        if (fixtures[c.Fixture.Value].Element("ChildList") is not { } children)
        {
            fixtures[c.Fixture.Value].Add(children = new XElement("ChildList"));
        }

        children.Add(carried);
        if (layer != by.Layer)
        {
            notes.Add($"{name}: its layer \"{layer}\", what is carried lies in the layer of what carries it");
        }
    }

    private static XElement FixtureElement(Fixture f, string spec, RigScene rig)
    {
        var focus = rig.FocusPoints.FirstOrDefault(p => p.Name == f.Focus);
        return new XElement(
            "Fixture",
            new XAttribute("name", f.Name),
            new XAttribute("uuid", Uuid(f.Uuid, "fixture " + f.Name)),
            !f.SharesPatchOf.IsNone ? new XAttribute("multipatch", Uuid(rig[f.SharesPatchOf].Uuid, "fixture " + rig[f.SharesPatchOf].Name))
            : null,
            new XElement("Matrix", MvrMatrix.Write(f.Pose)),
            f.Class.Length > 0 ? new XElement("Classing", Uuid("", "class " + f.Class)) : null,
            spec.Length > 0 ? new XElement("GDTFSpec", spec) : null,
            f.Profile.StandsFor is not null && f.Mode.Name == MvrPlaceholders.NoMode ? null : new XElement("GDTFMode", f.Mode.Name),
            focus is null ? null : new XElement("Focus", Uuid(focus.Uuid, "focus " + focus.Name)),
            f.InvertPan ? new XElement("DMXInvertPan", "true") : null,
            f.InvertTilt ? new XElement("DMXInvertTilt", "true") : null,
            f.Position.Length > 0 ? new XElement("Position", Uuid("", "position " + f.Position)) : null,
            new XElement("FixtureID", f.Number),
            f.Filter == Vector3.One ? null : new XElement("Color", $"{{{GdtfText.Colour(f.Filter)}}}"),
            new XElement("Addresses", f.Patch.Select(
                p => new XElement("Address", new XAttribute("break", p.Break), (p.Start.Absolute + 1).ToString(CultureInfo.InvariantCulture)))));
    }

    private static XElement PieceElement(SceneryPiece[] pieces, int index, Dictionary<int, string> meshes)
    {
        var s = pieces[0];
        var back = Matrix4x4.Invert(MvrMatrix.Of(s.Pose), out var inverse) ? inverse : Matrix4x4.Identity;
        return new XElement(
            s.MvrElement.Length > 0 ? s.MvrElement : s.Kind == SceneryKind.Structure ? "Truss" : "SceneObject",
            new XAttribute("name", pieces.Length > 1 && s.Name.EndsWith(" 1", StringComparison.Ordinal) ? s.Name[..^2] : s.Name),
            new XAttribute("uuid", PieceUuid(s, index)),
            new XElement("Matrix", MvrMatrix.Write(s.Pose)),
            s.Class.Length > 0 ? new XElement("Classing", Uuid("", "class " + s.Class)) : null,
            new XElement("Geometries", pieces.Select(p => new XElement(
                "Geometry3D",
                new XAttribute("fileName", meshes[p.Mesh]),
                new XElement("Matrix", MvrMatrix.Write(Matrix4x4.CreateScale(p.Scale) * (p == s ? Matrix4x4.Identity : MvrMatrix.Of(p.Pose) * back)))))));
    }

    private static string PieceUuid(SceneryPiece s, int index) => Uuid(s.Uuid, string.Create(CultureInfo.InvariantCulture, $"piece {index} {s.Name}"));

    /// <summary>The identity a thing came with, or one made of its name: the same at each export.</summary>
    private static string Uuid(string own, string name)
    {
        if (Guid.TryParse(own, out var given))
        {
            return given.ToString("D").ToUpperInvariant();
        }

        var hash = SHA256.HashData(Encoding.UTF8.GetBytes("StageView " + name))[..16];
        hash[6] = (byte)((hash[6] & 0x0F) | 0x80);
        hash[8] = (byte)((hash[8] & 0x3F) | 0x80);
        return new Guid(hash, bigEndian: true).ToString("D").ToUpperInvariant();
    }
}
