using StageView.Rig.Keys;
using static StageView.Rig.Keys.CommonKeys;

namespace StageView.Stage.Looks;

/// <summary>The keys of a look file, and of the entries that cues have in common with it.</summary>
internal static class LookKeys
{
    public const int MaxEntries = 10_000;

    private const string Fan = " [from, to] shares out over the selection.";

    /// <summary>A share, with or without %, degrees, hertz and so on; two of them fan over the selection.</summary>
    private static readonly KeyValue Amount = new EitherValue(Number, new TextValue(null, "a number with a unit, such as 30deg, 12Hz, 3200K, 2m or 80%"),
        new ListValue(new EitherValue(Number, Text), 2, 2));

    private static readonly KeyValue Slot = new EitherValue(Text, new IntegerValue(0, 1000));

    private static readonly KeyValue Place = new EitherValue(Name, Point);

    private static readonly ObjectValue FromTo = new ObjectValue("a line", "Two points: the selection is shared out between them.").With(
        new("from", Place, "The point for the first; the point of \"to\" when left out."),
        new("to", Place, "The point for the last, m, or its name.", true),
        new("mirror", Text, "The light goes there by way of the mirrors whose names begin so."));

    private static readonly ObjectValue Bounce = new ObjectValue("a bounce", "Where light comes from, and where a turning mirror shall send it.").With(
        new("from", Place, "Where the light comes from, m, or the point's name.", true),
        new("to", Place, "Where it shall go, m, or the point's name.", true));

    private static readonly ObjectValue Between = new ObjectValue("two colours", "The selection is shared out between them.").With(
        new("from", Text, "The colour of the first, such as #ff8800 or 3200K.", true),
        new("to", Text, "The colour of the last.", true));

    public static KeyValue Points { get; } = new MapValue(Point, @"^\S(.{0,98}\S)?$", "names of 1 to 100 characters");

    public static KeyRow PointsRow { get; } = new("points", Points,
        "Named points, [x, y, z] in metres, beside the rig's focus points; \"aim\" and \"bounce\" may use both.");

    public static KeyRow Fixtures { get; } = new(
        "fixtures", Text, "Names, numbers, ranges of numbers (101-106) and groups, with commas; all is all. They are taken in the order of the rig.", true);

    public static KeyRow Order { get; } = new(
        "order", new ChoiceValue([.. SelectionOrder.Words]),
        "In which order the selection takes what is shared out: forward (when left out), backward, outward from its middle, inward from its ends, scattered.");

    public static ObjectValue Entry { get; } = EntryOf([]);

    public static ObjectValue Look { get; } = new ObjectValue("a look", "A StageView look: what fixtures shall do, in physical units.").With(
        new("$schema", Text, "Where an editor finds this schema."),
        new("notes", Text, "Notes for people; nothing reads them."),
        PointsRow,
        new("set", new ListValue(Entry, 0, MaxEntries) { IsBound = true }, "What fixtures shall do, in order.", true));

    /// <summary>An entry with further keys of its own; any other key is an attribute.</summary>
    public static ObjectValue EntryOf(KeyRow[] more) => new ObjectValue("an entry", "What some fixtures shall do. Other keys are attributes (DIN SPEC 15800).")
    {
        Others = new EitherValue(Number, Text, new ListValue(new EitherValue(Number, Text), 2, 2)),
    }.With(
    [
        Fixtures,
        Order,
        new("note", Text, "Notes for people; nothing reads them."),
        new("dimmer", Amount, "0 to 1, or \"60%\"; where there is no dimmer, colours and pixels are scaled." + Fan),
        new("colour", new EitherValue(Text, new ListValue(new EitherValue(Number, Text), 1, 100), Between),
            "#rrggbb, a temperature such as 3200K, CIE [x, y], a list of colours taken in turn, or two that the selection is shared out between."),
        new("aim", new EitherValue(Name, new ListValue(new EitherValue(Number, Name, Point), 1, 1000), FromTo),
            "A point, its name, a list of points taken in turn, or a line; with \"mirror\" by way of mirrors."),
        new("bounce", Bounce, "For a fixture that carries a mirror: how it is turned."),
        new("pan", Amount, "Degrees." + Fan),
        new("tilt", Amount, "Degrees." + Fan),
        new("zoom", Amount, "Degrees." + Fan),
        new("iris", Amount, "0 to 1." + Fan),
        new("frost", Amount, "0 to 1." + Fan),
        new("focus", Amount, "Metres, or a share of its travel." + Fan),
        new("shutter", Amount, "0 closed, 1 open."),
        new("strobe", Amount, "Hz." + Fan),
        new("height", Amount, "Of a winch, m." + Fan),
        new("gobo", Slot, "The slot's name or number."),
        new("goboAngle", Amount, "Degrees." + Fan),
        new("goboTurn", Amount, "Degrees a second." + Fan),
        new("prism", Slot, "The slot's name or number."),
        new("prismTurn", Amount, "Degrees a second." + Fan),
        new("wheel", Slot, "The colour wheel's slot, by name or number."),
        .. more,
    ]);
}
