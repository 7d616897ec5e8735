using System.Globalization;
using System.Numerics;
using System.Xml.Linq;
using StageView.Rig.Archives;
using StageView.Rig.Gdtf;
using StageView.Wire.Universes;

namespace StageView.Rig.Mvr;

/// <summary>Reads GeneralSceneDescription.xml. Tolerant of what files in the wild leave out; lists what it passes over.</summary>
internal sealed class MvrReader
{
    public const string Description = "GeneralSceneDescription.xml";
    private const int MaxObjects = 200_000;
    private const int MaxConnections = 50_000;
    private readonly MvrScene _scene = new();
    private readonly Dictionary<string, XElement> _symbols = new(StringComparer.OrdinalIgnoreCase);
    private readonly Dictionary<string, string> _classes = new(StringComparer.OrdinalIgnoreCase);
    private readonly Dictionary<string, string> _positions = new(StringComparer.OrdinalIgnoreCase);
    private readonly MvrExtras _extras = new();
    private int _objects;

    /// <returns>Null with <paramref name="why"/> set where the file can't be used.</returns>
    public static MvrScene? Read(XElement root, out string why)
    {
        var scene = root.Element("Scene");
        if (root.Name.LocalName != "GeneralSceneDescription" || scene is null)
        {
            why = "is not an MVR description: its root should be GeneralSceneDescription with a Scene";
            return null;
        }

        var reader = new MvrReader();
        reader.ReadAux(scene.Element("AUXData"));
        reader.ReadOwn(root.Element("UserData"));
        foreach (var layer in scene.Element("Layers")?.Elements("Layer") ?? [])
        {
            var at = MvrMatrix.Read(layer.Element("Matrix")?.Value ?? "") ?? Matrix4x4.Identity;
            reader.ReadChildren(layer.Element("ChildList"), at, layer.Attr("name"), null);
        }

        reader._extras.List(reader._scene.NotUnderstood);

        why = reader._objects > MaxObjects ? $"holds more than {MaxObjects} objects after all symbols" : "";
        return why.Length > 0 ? null : reader._scene;
    }

    private void ReadAux(XElement? aux)
    {
        foreach (var e in aux?.Elements() ?? [])
        {
            switch (e.Name.LocalName)
            {
                case "Symdef":
                    _symbols.TryAdd(e.Attr("uuid"), e);
                    break;
                case "Class":
                    _classes.TryAdd(e.Attr("uuid"), e.Attr("name"));
                    break;
                case "Position":
                    _positions.TryAdd(e.Attr("uuid"), e.Attr("name"));
                    break;
                case "MappingDefinition":
                    _scene.MappingSources.TryAdd(e.Attr("uuid"), MvrMappingSource.Read(e));
                    if (e.Element("Source") is { } source)
                    {
                        ReadMedia(source);
                    }

                    break;
                default:
                    _scene.NotUnderstood.Add($"{e.Name.LocalName} \"{e.Attr("name")}\" (line {e.Line()}): not used");
                    break;
            }
        }
    }

    private void ReadOwn(XElement? user)
    {
        foreach (var data in user?.Elements("Data") ?? [])
        {
            if (data.Attr("provider") != "StageView")
            {
                _scene.NotUnderstood.Add($"user data of {data.Attr("provider", "an unnamed program")}: not used");
                continue;
            }

            foreach (var p in data.Elements("Profile"))
            {
                _scene.OwnProfiles.TryAdd(p.Attr("spec"), p.Attr("file"));
            }
        }
    }

    /// <param name="carrier">The fixture that holds the list, and where it or the part that carries it lies in the scene; null where nothing above
    /// moves.</param>
    private void ReadChildren(XElement? list, in Matrix4x4 parent, string layer, MvrCarrier? carrier)
    {
        foreach (var e in list?.Elements() ?? [])
        {
            if (++_objects > MaxObjects)
            {
                return;
            }

            var written = e.Element("Matrix")?.Value;
            var local = Matrix4x4.Identity;
            if (written is not null && MvrMatrix.Read(written) is { } read)
            {
                local = read;
            }
            else if (written is not null)
            {
                _scene.NotUnderstood.Add($"{e.Name.LocalName} \"{e.Attr("name")}\" (line {e.Line()}): its Matrix can't be read; taken as unmoved");
            }

            var world = local * parent;
            var carried = carrier;
            if (carrier is not null && Word(e, "ChildPosition") is { Length: > 0 } part)
            {
                carried = carrier with { Part = part, Local = local, Outer = null };
            }
            else if (carrier is { Part.Length: > 0 })
            {
                carried = carrier with { Local = local * carrier.Local };
            }
            else if (carrier is { Outer: { } outer })
            {
                carried = outer with { Local = local * outer.Local };
            }
            else if (Word(e, "ChildPosition").Length > 0)
            {
                _scene.NotUnderstood.Add(
                    $"{e.Name.LocalName} \"{e.Attr("name")}\" (line {e.Line()}): its ChildPosition is not used, nothing above it is a fixture");
            }

            var by = carried is { Part.Length: > 0 } ? carried : null;
            ReadOne(e, world, layer, by);
            var below = e.Name.LocalName == "Fixture" && _scene.Fixtures.Count > 0
                ? new MvrCarrier(_scene.Fixtures.Count - 1, "", Matrix4x4.Identity) { Outer = by } : carried;
            ReadChildren(e.Element("ChildList"), world, layer, below);
        }
    }

    private void ReadMedia(XElement source)
    {
        if (source.Attr("type", "File") == "File" && source.Value.Trim() is { Length: > 0 } file)
        {
            _scene.Media.Add(file);
        }
    }

    private void ReadConnections(XElement e)
    {
        foreach (var c in e.Element("Connections")?.Elements("Connection") ?? [])
        {
            if (_scene.Connections.Count >= MaxConnections)
            {
                _scene.NotUnderstood.Add($"connections: the first {MaxConnections} are taken");
                return;
            }

            _scene.Connections.Add((e.Attr("uuid"), c.Attr("own"), c.Attr("toObject"), c.Attr("other")));
        }
    }

    private void ReadOne(XElement e, in Matrix4x4 world, string layer, MvrCarrier? carrier)
    {
        ReadConnections(e);
        switch (e.Name.LocalName)
        {
            case "Fixture":
                ReadFixture(e, world, layer, carrier);
                break;
            case "FocusPoint":
                _scene.FocusPoints.Add(new MvrFocusPoint(e.Attr("name", "focus"), world.Translation, e.Attr("uuid"), carrier));
                break;
            case "GroupObject":
                _extras.Read(e);
                break;
            case "SceneObject" or "Truss" or "Support" or "VideoScreen" or "Projector":
                ReadPiece(e, world, layer, carrier);
                break;
            default:
                _scene.NotUnderstood.Add($"{e.Name.LocalName} (line {e.Line()}): not used");
                break;
        }
    }

    private void ReadFixture(XElement e, in Matrix4x4 world, string layer, MvrCarrier? carrier)
    {
        if (MvrMatrix.Split(world) is not { } placed)
        {
            _scene.NotUnderstood.Add($"fixture \"{e.Attr("name")}\" (line {e.Line()}): its Matrix has no size; left out");
            return;
        }

        var addresses = new List<(int, int)>();
        foreach (var a in e.Element("Addresses")?.Elements("Address") ?? [])
        {
            var text = a.Value.Trim();
            if (Absolute(text) is { } absolute)
            {
                addresses.Add((GdtfValues.Integer(a.Attr("break", "0"), 0), absolute));
            }
            else if (text.Length > 0 && text.Trim('0').Length > 0)
            {
                _scene.NotUnderstood.Add($"fixture \"{e.Attr("name")}\" (line {a.Line()}): the address \"{text}\" is left out: addresses are written "
                    + $"universe.address, or counted through all universes from 1 to {UniverseNumber.Highest * 512}");
            }
        }

        _scene.Fixtures.Add(new MvrFixture(
            e.Attr("uuid"),
            e.Attr("name"),
            placed.Pose,
            Word(e, "GDTFSpec"),
            Word(e, "GDTFMode"),
            Word(e, "FixtureID") is { Length: > 0 } id ? id : Word(e, "FixtureIDNumeric") is { Length: > 0 } number && number != "0" ? number : "",
            addresses,
            layer,
            Named(_classes, Word(e, "Classing")),
            Named(_positions, Word(e, "Position")),
            Word(e, "Focus"),
            Word(e, "DMXInvertPan") == "true",
            Word(e, "DMXInvertTilt") == "true")
        {
            Carrier = carrier,
            Multipatch = e.Attr("multipatch"),
            Mappings = MvrMapping.All(e),
            Overwrites = MvrOverwrite.All(e),
            Filter = MvrExtras.IsFilter(Word(e, "Color"), out var filter) ? filter : null,
            Notes = _extras.Read(e),
        });
    }

    /// <summary>"(U-1)·512 + ch" or "U.ch", both from 1; 0 is unpatched.</summary>
    private static int? Absolute(string text)
    {
        if (UniverseAddress.TryParse(text, out var a))
        {
            return a.Absolute;
        }

        return int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out var n) && n >= 1 && n <= UniverseNumber.Highest * 512 ? n - 1 : null;
    }

    private void ReadPiece(XElement e, in Matrix4x4 world, string layer, MvrCarrier? carrier)
    {
        var meshes = new List<MvrMesh>();
        ReadGeometries(e.Element("Geometries"), carrier?.Local ?? world, meshes, 0);
        foreach (var source in new[] { e.Element("Sources"), e.Element("Projections") }.SelectMany(s => s?.Descendants("Source") ?? []))
        {
            ReadMedia(source);
            _scene.NotUnderstood.Add(
                $"{e.Name.LocalName} \"{e.Attr("name")}\": the {source.Attr("type", "video")} source "
                + $"\"{source.Value.Trim()}\"{(source.Attr("linkedGeometry") is { Length: > 0 } on ? $" for {on}" : "")} is not shown; its surface is scenery "
                + $"(\"content\" in the rig file lays pictures over pixel surfaces)");
        }

        _scene.Pieces.Add(new MvrPiece(e.Attr("uuid"), e.Attr("name"), e.Name.LocalName, meshes, layer, Named(_classes, Word(e, "Classing")))
        {
            Carrier = carrier, Notes = _extras.Read(e),
        });
    }

    private void ReadGeometries(XElement? holder, in Matrix4x4 world, List<MvrMesh> meshes, int depth)
    {
        foreach (var g in holder?.Elements() ?? [])
        {
            if (++_objects > MaxObjects)
            {
                return;
            }

            var at = (MvrMatrix.Read(g.Element("Matrix")?.Value ?? "") ?? Matrix4x4.Identity) * world;
            switch (g.Name.LocalName)
            {
                case "Geometry3D" when MvrMatrix.Split(at) is { } placed:
                    meshes.Add(new MvrMesh(g.Attr("fileName"), placed.Pose, placed.Scale));
                    break;
                case "Symbol" when depth > 16:
                    _scene.NotUnderstood.Add($"symbol {g.Attr("symdef")}: nested deeper than 16 or in a circle; left out");
                    break;
                case "Symbol" when _symbols.TryGetValue(g.Attr("symdef"), out var symbol):
                    ReadGeometries(symbol.Element("ChildList"), at, meshes, depth + 1);
                    break;
                default:
                    _scene.NotUnderstood.Add($"{g.Name.LocalName} (line {g.Line()}): not found or not used");
                    break;
            }
        }
    }

    private static string Word(XElement e, string name) => e.Element(name)?.Value.Trim() ?? "";

    private static string Named(Dictionary<string, string> names, string uuid) => names.GetValueOrDefault(uuid, "");
}
