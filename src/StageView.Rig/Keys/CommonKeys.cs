namespace StageView.Rig.Keys;

/// <summary>Keys and values that several files have.</summary>
internal static class CommonKeys
{
    public static readonly KeyValue Number = new NumberValue(-1e6, 1e6);
    public static readonly KeyValue Positive = new NumberValue(0, 1e9);
    public static readonly KeyValue Share = new NumberValue(0, 1);
    public static readonly KeyValue Text = new TextValue();
    public static readonly KeyValue Name = new TextValue(@"^\S(.{0,98}\S)?$", "a name of 1 to 100 characters");
    public static readonly KeyValue Flag = new FlagValue();
    public static readonly KeyValue Point = new ListValue(Number, 3, 3);
    public static readonly KeyValue Size3 = new ListValue(Positive, 3, 3);
    public static readonly KeyValue Size2 = new ListValue(Positive, 2, 2);
    public static readonly KeyValue Pair = new ListValue(Number, 2, 2);
    public static readonly KeyValue Count = new IntegerValue(1, 10_000);
    public static readonly KeyValue Texts = new ListValue(Text);

    /// <summary>1 to 63999, as E1.31 numbers universes.</summary>
    public const string Universe = @"([1-9]\d{0,3}|[1-5]\d{4}|6[0-3]\d{3})";

    private const string UniverseAndAddress = Universe + @"\.([1-9]\d?|[1-4]\d\d|50\d|51[0-2])";

    private const string AddressMeaning = "an address written universe.address, such as \"12.101\" (universes go from 1 to 63999, addresses from 1 to 512)";

    public static readonly KeyValue Address = new TextValue("^" + UniverseAndAddress + "$", AddressMeaning);

    public static readonly KeyValue AddressOrNone = new TextValue(
        "^(none|" + UniverseAndAddress + ")$", AddressMeaning + ", or \"none\" for a break without one");

    public static readonly KeyValue Colour = new EitherValue(
        Share,
        new ListValue(Share, 3, 3),
        new TextValue("^#[0-9a-fA-F]{6}$", "a colour written #rrggbb"));

    /// <summary>A list that is not read at all when it holds more.</summary>
    public static KeyValue Many(KeyValue item, int most) => new ListValue(item, 0, most) { IsBound = true };

    public static KeyRow At { get; } = new("at", Point, "Where it is, [x, y, z] in metres, in the coordinates of what holds it. [0, 0, 0] when left out.");

    public static KeyRow Rotate { get; } = new(
        "rotate", Point, "Turns in degrees about the fixed x, then y, then z axis, right hand. [0, 0, 0] when left out.");
}
