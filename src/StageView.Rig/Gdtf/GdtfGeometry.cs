using System.Xml.Linq;
using StageView.Light.Geometry;
using StageView.Rig.Archives;
using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Gdtf;

/// <summary>Expands a mode's geometry tree: starts at the mode's Geometry, puts a copy of the named tree at each reference.</summary>
internal sealed class GdtfGeometry
{
    private const int MaxNodes = 20_000;
    private const int MaxDepth = 128;
    private readonly ArchiveBudget _budget;
    private readonly Dictionary<string, XElement> _top = new(StringComparer.Ordinal);
    private readonly Dictionary<string, GdtfModel> _models;
    private readonly GdtfPhysical _light;
    private readonly string _file;
    private readonly List<string> _notUnderstood;
    private readonly ProblemList _problems;
    private readonly GdtfTree _tree = new();
    private readonly UniqueNames _names = new();

    /// <summary>Ways in which the mode's channels move each geometry.</summary>
    private readonly Dictionary<string, List<AxisMotion>> _moved = new(StringComparer.Ordinal);
    private bool _stopped;

    public GdtfGeometry(
        XElement? geometries, Dictionary<string, GdtfModel> models, GdtfPhysical light, string file, List<string> notUnderstood, ArchiveBudget budget,
        ProblemList problems)
    {
        _budget = budget;
        foreach (var g in geometries?.Elements() ?? [])
        {
            _top.TryAdd(g.Attr("Name"), g);
        }

        _models = models;
        _light = light;
        _file = file;
        _notUnderstood = notUnderstood;
        _problems = problems;
    }

    public GdtfTree? Expand(XElement mode)
    {
        if (!_top.TryGetValue(mode.Attr("Geometry"), out var root))
        {
            _problems.Error(GdtfFile.Within(_file, mode.Line()),
                $"mode \"{mode.Attr("Name")}\" starts at the geometry \"{mode.Attr("Geometry")}\", which is not at the top of the file's geometries");
            return null;
        }

        foreach (var c in mode.Element("DMXChannels")?.Elements("DMXChannel") ?? [])
        {
            foreach (var f in c.Descendants("ChannelFunction"))
            {
                if (GdtfMotion.Of(f.Attr("Attribute")) is { } motion)
                {
                    _moved.TryAdd(c.Attr("Geometry"), []);
                    _moved[c.Attr("Geometry")].Add(motion);
                }
            }
        }

        Add(root, root, root.Attr("Name"), -1, "", [], root.Attr("Model"));
        return _stopped ? null : _tree;
    }

    /// <param name="shape">The element that says what the node is.</param>
    /// <param name="placed">The element that says where it is: the same, or the reference to it.</param>
    private void Add(XElement shape, XElement placed, string name, int parent, string prefix, IReadOnlyList<XElement> references, string model)
    {
        if (_stopped)
        {
            return;
        }

        var depth = parent < 0 ? 1 : _tree.Depths[parent] + 1;
        if (depth > MaxDepth)
        {
            _stopped = true;
            _problems.Error(GdtfFile.Within(_file, shape.Line()), $"nested deeper than {MaxDepth} geometries after all references");
            return;
        }

        if (_tree.Nodes.Count >= MaxNodes)
        {
            _stopped = true;
            _problems.Error(GdtfFile.Within(_file, shape.Line()), $"expands to more than {MaxNodes} geometries (do references form a circle?)");
            return;
        }

        if (shape.Name.LocalName == "GeometryReference")
        {
            AddReference(shape, name, parent, references);
            return;
        }

        if (!_budget.Nodes(1))
        {
            _stopped = true;
            _problems.Error(GdtfFile.Within(_file, shape.Line()), ArchiveBudget.TooManyNodes);
            return;
        }

        var pose = Pose.Identity;
        if (placed.Attribute("Position") is { } written)
        {
            if (GdtfValues.Matrix(written.Value) is { } read)
            {
                pose = read;
            }
            else
            {
                _notUnderstood.Add($"geometry {name}: its Position (line {placed.Line()}) is no matrix; taken as unmoved");
            }
        }

        AddOuterAxes(shape, placed, name, ref parent, ref pose, references);
        var index = _tree.Nodes.Count;
        _tree.Depths.Add(parent < 0 ? 1 : _tree.Depths[parent] + 1);
        _tree.Nodes.Add(GdtfParts.Fill(shape,
            new GeometryNode { Index = index, Name = _names.Give(name.Length > 0 ? name : "geometry"), Parent = parent, Pose = pose }, Body(model), _light,
            _notUnderstood));
        _tree.Instances.Add(new GdtfInstance(shape.Attr("Name"), references.Count > 0 ? references[^1] : null, references));
        foreach (var child in shape.Elements().Where(e => GdtfParts.IsGeometry(e.Name.LocalName)))
        {
            Add(child, child, prefix + child.Attr("Name"), index, prefix, references, child.Attr("Model"));
        }
    }

    /// <summary>
    /// A geometry that channels move in several ways becomes one node for each: what travels holds what pans, what pans holds what tilts (common practice, the
    /// standard is silent). The innermost is the geometry itself.
    /// </summary>
    private void AddOuterAxes(XElement shape, XElement placed, string name, ref int parent, ref Pose pose, IReadOnlyList<XElement> references)
    {
        var ways = _moved.GetValueOrDefault(shape.Attr("Name"), []).Concat(placed == shape ? [] : _moved.GetValueOrDefault(placed.Attr("Name"), [])).Distinct()
            .OrderBy(Inwards).ToList();
        if (ways.Count < 2)
        {
            return;
        }

        var first = _tree.Nodes.Count;
        foreach (var way in ways.SkipLast(1))
        {
            var index = _tree.Nodes.Count;
            _tree.Depths.Add(parent < 0 ? 1 : _tree.Depths[parent] + 1);
            _tree.Nodes.Add(new GeometryNode { Index = index, Name = _names.Give($"{name} {Called(way)}"), Parent = parent, Pose = pose });
            _tree.Instances.Add(new GdtfInstance("", references.Count > 0 ? references[^1] : null, references));
            (parent, pose) = (index, Pose.Identity);
        }

        for (var node = first; node < first + ways.Count; node++)
        {
            for (var way = 0; way < ways.Count; way++)
            {
                _tree.Axes[(node, ways[way])] = first + way;
            }
        }

        _notUnderstood.Add($"geometry {shape.Attr("Name")}: {string.Join(" and ", ways.Select(Called))} act on it at once; taken as one axis in the other, "
            + $"{Called(ways[0])} outermost");
    }

    private static int Inwards(AxisMotion motion) => motion switch { AxisMotion.TravelZ => 0, AxisMotion.TurnZ => 1, _ => 2 };

    private static string Called(AxisMotion motion) => motion switch { AxisMotion.TravelZ => "travel", AxisMotion.TurnZ => "pan", _ => "tilt" };

    private void AddReference(XElement reference, string name, int parent, IReadOnlyList<XElement> references)
    {
        if (!_top.TryGetValue(reference.Attr("Geometry"), out var target))
        {
            _stopped = true;
            _problems.Error(GdtfFile.Within(_file, reference.Line()),
                $"the reference \"{reference.Attr("Name")}\" names the geometry \"{reference.Attr("Geometry")}\", which is not at the top of the file's "
                + $"geometries");
            return;
        }

        if (references.Any(r => r.Attr("Geometry") == reference.Attr("Geometry")))
        {
            _stopped = true;
            _problems.Error(GdtfFile.Within(_file, reference.Line()),
                $"the reference \"{reference.Attr("Name")}\" lies within the geometry \"{reference.Attr("Geometry")}\" it refers to: a circle");
            return;
        }

        var model = reference.Attr("Model") is { Length: > 0 } own ? own : target.Attr("Model");
        Add(target, reference, name, parent, name + " ", [.. references, reference], model);
    }

    private BodyData? Body(string model)
    {
        if (model.Length == 0)
        {
            return null;
        }

        if (!_models.TryGetValue(model, out var m))
        {
            _notUnderstood.Add($"model {model}: named by a geometry but not in the file");
            return null;
        }

        return new BodyData(m.Shape, m.Scale, m.Mesh, Pose.At(0, 0, m.Lift));
    }
}
