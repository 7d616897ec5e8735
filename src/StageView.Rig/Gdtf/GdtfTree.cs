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
    public List<GeometryNode> Nodes { get; } = [];

    public List<GdtfInstance> Instances { get; } = [];

    /// <summary>Nodes of geometries that move in several ways, by any of their nodes and the way.</summary>
    public Dictionary<(int Node, AxisMotion Motion), int> Axes { get; } = [];

    /// <summary>The node that moves so where a channel acts on <paramref name="node"/>.</summary>
    public int AxisNode(int node, AxisMotion motion) => Axes.GetValueOrDefault((node, motion), node);

    public IEnumerable<int> Of(string geometry)
    {
        for (var i = 0; i < Instances.Count; i++)
        {
            if (Instances[i].Template == geometry || (Instances[i].Reference is { } r && r.Attr("Name") == geometry && IsRootOf(i)))
            {
                yield return i;
            }
        }
    }

    /// <summary>How deep the nearest node lies that holds both.</summary>
    public int CommonDepth(int a, int b)
    {
        var above = new HashSet<int>();
        for (var i = a; i >= 0; i = Nodes[i].Parent)
        {
            above.Add(i);
        }

        for (var i = b; i >= 0; i = Nodes[i].Parent)
        {
            if (above.Contains(i))
            {
                var depth = 0;
                for (var k = i; k >= 0; k = Nodes[k].Parent)
                {
                    depth++;
                }

                return depth;
            }
        }

        return -1;
    }

    /// <summary>Whether the node is where its reference stands, not something below it.</summary>
    private bool IsRootOf(int i) => Nodes[i].Parent < 0 || Instances[Nodes[i].Parent].References.Count < Instances[i].References.Count;
}
