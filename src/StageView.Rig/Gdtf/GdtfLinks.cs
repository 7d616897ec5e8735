using System.Xml.Linq;
using StageView.Rig.Archives;
using StageView.Rig.Profiles;

namespace StageView.Rig.Gdtf;

/// <summary>Links between channels are written for the template; each instance means the one nearest to it.</summary>
/// <param name="channels">The channels of a mode, all of them.</param>
/// <param name="from">"Geometry_Attribute" as the file writes it, and the element, of each channel.</param>
/// <param name="tree">The mode's geometry.</param>
/// <param name="budget">How many instances may be looked at.</param>
internal sealed class GdtfLinks(List<DmxChannel> channels, List<(string Template, XElement Element)> from, GdtfTree tree, ArchiveBudget budget)
{
    private Dictionary<string, List<int>>? _byTemplate;

    /// <summary>All channels that were made from a template, in order.</summary>
    /// <param name="template">Geometry_Attribute as the file writes it.</param>
    public IReadOnlyList<int> All(string template)
    {
        if (_byTemplate is null)
        {
            _byTemplate = new(StringComparer.Ordinal);
            for (var i = 0; i < from.Count; i++)
            {
                if (!_byTemplate.TryGetValue(from[i].Template, out var list))
                {
                    _byTemplate[from[i].Template] = list = [];
                }

                list.Add(i);
            }
        }

        return _byTemplate.TryGetValue(template, out var all) ? all : [];
    }

    /// <param name="template">Geometry_Attribute as the file writes it.</param>
    /// <param name="geometry">The node of the channel that holds the link.</param>
    /// <returns>Index of the channel, or -1.</returns>
    public int Nearest(string template, int geometry)
    {
        var best = -1;
        var bestDepth = int.MinValue;
        foreach (var i in All(template))
        {
            if (channels[i].Geometry == geometry)
            {
                return i;
            }

            if (!budget.Links(1))
            {
                return best;
            }

            var depth = tree.CommonDepth(channels[i].Geometry, geometry);
            if (depth > bestDepth)
            {
                (best, bestDepth) = (i, depth);
            }
        }

        return best;
    }
}
