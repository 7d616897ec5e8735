using StageView.Rig.Keys;
using static StageView.Rig.Keys.CommonKeys;

namespace StageView.Rig.Scene;

/// <summary>Keys of the network that a rig listens to, its consoles and nodes, and of its supplies.</summary>
internal static class NetworkKeys
{
    private static readonly KeyValue UniverseKey = new MapValue(new ChoiceValue("highest", "latest"), "^" + Universe + "$", "universe numbers, 1 to 63999");

    private static readonly ObjectValue ArtNet = new ObjectValue("an Art-Net mapping", "How Art-Net port-addresses become universe numbers.").With(
        new KeyRow("firstUniverse", new IntegerValue(0, 31232), "Universe number of port-address 0 (net 0, sub-net 0, universe 0); 1 when left out."));

    private static readonly ObjectValue NodeKeys = new ObjectValue("a node", "A network node that feeds universes to a position; for patch checks.").With(
        new("name", Name, "Its name; how other keys and messages call it.", true),
        new("universes", new ListValue(new IntegerValue(1, 63999)), "Universes it can feed.", true),
        new("positions", Texts, "Positions it feeds."));

    private static readonly ObjectValue ConsoleKeys = new ObjectValue("a console", "What the console can hold; for patch checks.").With(
        new("attributes", new IntegerValue(1), "How many attributes it can run."),
        new("universes", new IntegerValue(1), "How many universes it can send."));

    public static readonly ObjectValue Feed = new ObjectValue("a feed", "A supply, for load.").With(
        new("name", Name, "Its name; how hangs call it.", true),
        new("volts", new NumberValue(50, 1000), "Line to neutral, V; 230 when left out."),
        new("amps", Positive, "What each phase of it is said to carry, A."));

    private static readonly ObjectValue TakingKeys = new ObjectValue("a console that can take over", "One of several consoles; for takeover.").With(
        new("name", Name, "Its name; how answers call it.", true),
        new("source", Text, "Its source name on the network, or the address it sends from; its name when left out."),
        new("universes", new IntegerValue(1), "How many universes it can send."),
        new("attributes", new IntegerValue(1), "How many attributes it can run."));

    public static readonly ObjectValue Network = new ObjectValue("network settings", "What is listened to and how sources merge.").With(
        new("artNet", ArtNet, "Art-Net mapping."),
        new("listen", new ListValue(new TextValue(@"^[0-9A-Fa-f:.]+$", "an IP address")), "Local addresses to listen on beside loopback."),
        new("merge", new ChoiceValue("highest", "latest"), "Between sources of equal priority; highest when left out."),
        new("mergeByUniverse", UniverseKey, "Universes that merge by the other rule."),
        new("perAddressPriority", Flag, "Whether start code 0xDD is honoured; false when left out."),
        new("acceptPreview", Flag, "Whether packets marked as preview data are used; true when left out."),
        new("nodes", Many(NodeKeys, 1000), "The nodes and what they can feed."),
        new("console", ConsoleKeys, "The console's capacity."),
        new("consoles", Many(TakingKeys, 16), "Consoles that can take over from each other, the main one first, with what each can hold."));
}
