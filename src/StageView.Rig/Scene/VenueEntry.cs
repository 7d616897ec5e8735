using System.Globalization;
using System.Numerics;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>An entry of a venue file's "remove" or "move": which names it means, and whether it met any.</summary>
internal sealed class VenueEntry
{
    private readonly NameMatch _match;

    public VenueEntry(SourceNode node, bool removes)
    {
        Node = node;
        Removes = removes;
        What = node.Kind == SourceKind.Text ? node.Text : node.TextOr("what");
        Alone = node.FlagOr("alone", false);
        _match = new NameMatch(What);
    }

    public SourceNode Node { get; }

    public bool Removes { get; }

    /// <summary>Its name or pattern.</summary>
    public string What { get; }

    /// <summary>Whether a name means only the one that bears it in the paperwork, and not its mirror image or copies.</summary>
    public bool Alone { get; }

    public bool Used { get; set; }

    public bool Names(string name) => _match.Is(name);

    /// <summary>What it says of several at once.</summary>
    public string Said(string kind)
    {
        var said = Removes ? " removed" : "";
        said += Node.Vector("to") is { } to ? $" moved to {P(to)}" : Node.Vector("by") is { } by ? $" moved by {P(by)}" : "";
        if (Node.Has("trim"))
        {
            said += string.Create(CultureInfo.InvariantCulture, $" trimmed to {Node.NumberOr("trim", 0):0.###} m");
        }

        return $"{kind}\"{What}\"{said}{Rest()}";
    }

    /// <summary>What it did to one.</summary>
    public string Said(string kind, string name, Vector3 before, Vector3 after)
    {
        var said = Removes ? " removed" : "";
        if (before != after)
        {
            said += Node.Has("trim") && before.X == after.X && before.Y == after.Y
                ? string.Create(CultureInfo.InvariantCulture, $" trimmed from {before.Z:0.###} to {after.Z:0.###} m")
                : $" moved from {P(before)} to {P(after)}";
        }

        return $"{kind}\"{name}\"{said}{Rest()}";
    }

    private static string P(Vector3 v) => string.Create(CultureInfo.InvariantCulture, $"[{v.X:0.###}, {v.Y:0.###}, {v.Z:0.###}]");

    private string Rest()
    {
        var said = Node.Vector("turn") is { } turn ? $" turned by {P(turn)} degrees" : "";
        said += Node.Vector("size") is { } size ? $" resized to {P(size)} m" : "";
        return Node.TextOr("why") is { Length: > 0 } why ? $"{said} ({why})" : said;
    }
}
