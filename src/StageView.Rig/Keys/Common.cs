namespace StageView.Rig.Keys;

/// <summary>Value shapes used by several files.</summary>
internal static class Common
{
    public static readonly ValueShape Number = new NumberShape(-1e6, 1e6);
    public static readonly ValueShape Positive = new NumberShape(0, 1e9);
    public static readonly ValueShape Share = new NumberShape(0, 1);
    public static readonly ValueShape Text = new TextShape();
    public static readonly ValueShape Name = new TextShape(@"^\S(.{0,98}\S)?$", "a name of 1 to 100 characters");
    public static readonly ValueShape Flag = new FlagShape();
    public static readonly ValueShape Point = new ListShape(Number, 3, 3);
    public static readonly ValueShape Size3 = new ListShape(Positive, 3, 3);
    public static readonly ValueShape Size2 = new ListShape(Positive, 2, 2);
    public static readonly ValueShape Pair = new ListShape(Number, 2, 2);
    public static readonly ValueShape Count = new IntegerShape(1, 10_000);
    public static readonly ValueShape Texts = new ListShape(Text);

    public static readonly ValueShape Address = new TextShape(
        @"^[1-9]\d{0,4}\.[1-9]\d{0,2}$", "an address written universe.address, such as \"12.101\"");

    public static readonly ValueShape AddressOrNone = new TextShape(
        @"^(none|[1-9]\d{0,4}\.[1-9]\d{0,2})$", "an address written universe.address, such as \"12.101\", or \"none\" for a break without one");

    public static readonly ValueShape Colour = new EitherShape(
        Share,
        new ListShape(Share, 3, 3),
        new TextShape("^#[0-9a-fA-F]{6}$", "a colour written #rrggbb"));

    public static Key At { get; } = new("at", Point, "Where it is, [x, y, z] in metres, in the coordinates of what holds it. [0, 0, 0] when left out.");

    public static Key Rotate { get; } = new(
        "rotate", Point, "Turns in degrees about the fixed x, then y, then z axis, right hand. [0, 0, 0] when left out.");
}
