using System.Xml.Linq;
using StageView.Rig.Archives;
using StageView.Rig.Profiles;

namespace StageView.Rig.Gdtf;

/// <summary>One geometry instance of a mode.</summary>
/// <param name="Template">Name of the geometry it was made from; channels are bound by it.</param>
/// <param name="Reference">The innermost reference it came through, or null.</param>
/// <param name="References">All references it came through, outermost first.</param>
internal sealed record GdtfInstance(string Template, XElement? Reference, IReadOnlyList<XElement> References);

/// <summary>A mode's geometry with every reference expanded; instances run along with the nodes.</summary>
internal sealed class GdtfTree
{
    private Dictionary<string, List<int>>? _byName;

    public List<GeometryNode> Nodes { get; } = [];

    /// <summary>How deep each node lies; the root at 1.</summary>
    public List<int> Depths { get; } = [];

    public List<GdtfInstance> Instances { get; } = [];

    /// <summary>Nodes of geometries that move in several ways, by any of their nodes and the way.</summary>
    public Dictionary<(int Node, AxisMotion Motion), int> Axes { get; } = [];

    /// <summary>The node that moves so where a channel acts on <paramref name="node"/>.</summary>
    public int AxisNode(int node, AxisMotion motion) => Axes.GetValueOrDefault((node, motion), node);

    /// <summary>Instances of a geometry, or of the reference so named; asked for once the tree is whole.</summary>
    public IReadOnlyList<int> Of(string geometry)
    {
        if (_byName is null)
        {
            _byName = new(StringComparer.Ordinal);
            for (var i = 0; i < Instances.Count; i++)
            {
                Add(Instances[i].Template, i);
                if (Instances[i].Reference is { } r && r.Attr("Name") != Instances[i].Template && IsRootOf(i))
                {
                    Add(r.Attr("Name"), i);
                }
            }
        }

        return _byName.TryGetValue(geometry, out var all) ? all : [];

        void Add(string name, int i)
        {
            if (!_byName!.TryGetValue(name, out var list))
            {
                _byName[name] = list = [];
            }

            list.Add(i);
        }
    }

    /// <summary>How deep the nearest node lies that holds both; -1 where none does.</summary>
    public int CommonDepth(int a, int b)
    {
        while (a != b && a >= 0 && b >= 0)
        {
            if (Depths[a] > Depths[b])
            {
                a = Nodes[a].Parent;
            }
            else
            {
                b = Nodes[b].Parent;
            }
        }

        return a == b && a >= 0 ? Depths[a] : -1;
    }

    /// <summary>Whether the node is where its reference stands, not something below it.</summary>
    private bool IsRootOf(int i) => Nodes[i].Parent < 0 || Instances[Nodes[i].Parent].References.Count < Instances[i].References.Count;
}
