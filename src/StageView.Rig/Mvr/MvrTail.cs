using System.Text;

namespace StageView.Rig.Mvr;

/// <summary>What an imported rig file holds beside fixtures and scenery.</summary>
internal static class MvrTail
{
    /// <summary>Begins the list of connections and fills it; one that leads to nothing that is in the rig is told.</summary>
    /// <param name="b">The rig file, in the middle of a list.</param>
    /// <param name="scene">The scene.</param>
    /// <param name="names">The name that the thing of an identity has in the rig.</param>
    /// <param name="notes">What is not taken over.</param>
    public static void Connections(StringBuilder b, MvrScene scene, Dictionary<string, string> names, List<string> notes)
    {
        b.Append("  ],\n  \"connections\": [\n");
        foreach (var (own, plug, other, otherPlug) in scene.Connections)
        {
            if (names.TryGetValue(own, out var from) && names.TryGetValue(other, out var to))
            {
                b.Append("    { \"from\": ").Append(MvrText.Q(from)).Append(MvrText.Optional("plug", plug)).Append(", \"to\": ").Append(MvrText.Q(to))
                    .Append(MvrText.Optional("toPlug", otherPlug)).Append(" },\n");
            }
            else
            {
                notes.Add($"the connection from {names.GetValueOrDefault(own, own)} \"{plug}\" to {names.GetValueOrDefault(other, other)} \"{otherPlug}\": one "
                    + "of its ends is not in the rig");
            }
        }
    }
}
