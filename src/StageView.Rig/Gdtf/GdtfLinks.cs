using System.Xml.Linq;
using StageView.Rig.Profiles;

namespace StageView.Rig.Gdtf;

/// <summary>Links between channels are written for the template; each instance means the one nearest to it.</summary>
internal static class GdtfLinks
{
    /// <param name="template">Geometry_Attribute as the file writes it.</param>
    /// <param name="geometry">The node of the channel that holds the link.</param>
    /// <returns>Index of the channel, or -1.</returns>
    public static int Nearest(
        List<DmxChannel> channels, List<(string Template, XElement Element)> from, GdtfTree tree, string template, int geometry)
    {
        var best = -1;
        var bestDepth = int.MinValue;
        for (var i = 0; i < channels.Count; i++)
        {
            if (from[i].Template == template)
            {
                var depth = channels[i].Geometry == geometry ? int.MaxValue : tree.CommonDepth(channels[i].Geometry, geometry);
                if (depth > bestDepth)
                {
                    (best, bestDepth) = (i, depth);
                }
            }
        }

        return best;
    }
}
