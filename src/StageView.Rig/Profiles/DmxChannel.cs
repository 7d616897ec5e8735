using System.Numerics;

namespace StageView.Rig.Profiles;

/// <summary>One DMX channel of one geometry instance.</summary>
public sealed record DmxChannel
{
    /// <summary>Place in <see cref="FixtureMode.Channels"/>.</summary>
    public required int Index { get; init; }

    /// <summary><c>Geometry_Attribute</c>, unique in the mode.</summary>
    public required string Name { get; init; }

    /// <summary>Index of the geometry it acts on (and on everything below it).</summary>
    public required int Geometry { get; init; }

    public int Break { get; init; } = 1;

    /// <summary>Offsets from the break's start, from 1, most significant byte first; empty for a virtual channel. Need not be in a row.</summary>
    public required IReadOnlyList<int> Offsets { get; init; }

    /// <summary>Sorted by mode master, then by <see cref="ChannelFunction.DmxFrom"/>.</summary>
    public required IReadOnlyList<ChannelFunction> Functions { get; init; }

    /// <summary>Raw value without levels (and always, for a virtual channel), in the channel's own resolution.</summary>
    public uint Default { get; init; }

    public uint? Highlight { get; init; }

    /// <summary>True when the value is taken at once instead of faded.</summary>
    public bool Snap { get; init; }

    /// <summary>Highest raw value: 255, 65535, 16777215; one byte for a virtual channel.</summary>
    public uint MaxValue => Offsets.Count <= 1 ? 255u : (uint)((1UL << (8 * Math.Min(4, Offsets.Count))) - 1);
}

/// <summary>A stretch of a channel's values that does one thing.</summary>
public sealed record ChannelFunction
{
    public required string Name { get; init; }

    /// <summary>DIN SPEC 15800 attribute name, such as <c>Dimmer</c>, <c>Pan</c>, <c>ColorAdd_R</c>, <c>Gobo1Pos</c>.</summary>
    public required string Attribute { get; init; }

    /// <summary>First raw value, in the channel's resolution.</summary>
    public required uint DmxFrom { get; init; }

    /// <summary>Last raw value, in the channel's resolution.</summary>
    public required uint DmxTo { get; init; }

    /// <summary>
    /// Physical value at <see cref="DmxFrom"/>, in the attribute's unit (degrees, deg/s, Hz, K, m, or 0 to 1). May be larger than <see cref="PhysicalTo"/>.
    /// </summary>
    public required float PhysicalFrom { get; init; }

    public required float PhysicalTo { get; init; }

    /// <summary>Whether the file left the physical range at 0 to 1, which is what the formats have where nothing is said.</summary>
    public bool IsRangeLeft { get; init; }

    public float RealFade { get; init; }

    public float RealAcceleration { get; init; }

    /// <summary>Index in <see cref="FixtureProfile.Wheels"/>, or -1.</summary>
    public int Wheel { get; init; } = -1;

    /// <summary>Index in <see cref="FixtureProfile.Emitters"/>, or -1.</summary>
    public int Emitter { get; init; } = -1;

    /// <summary>Curve from the share of the range to the share of the physical range.</summary>
    public ResponseCurve Curve { get; init; }

    /// <summary>A response in pieces instead of <see cref="Curve"/>, or null.</summary>
    public CubicCurve? Pieces { get; init; }

    /// <summary>Index in <see cref="FixtureProfile.Filters"/>, or -1.</summary>
    public int Filter { get; init; } = -1;

    /// <summary>Index in <see cref="FixtureProfile.ColourSpaces"/>, or -1 for Rec.709.</summary>
    public int ColourSpace { get; init; } = -1;

    /// <summary>Corners (CIE x, y) of what can be reached by mixing indirectly; empty where the profile doesn't say.</summary>
    public IReadOnlyList<Vector2> Gamut { get; init; } = [];

    /// <summary>Share of a strobe's period that is open at the start and at the end of the range, or null.</summary>
    public (float From, float To)? Duty { get; init; }

    /// <summary>Length of a strobe's flash at the start and at the end of the range, s, or null.</summary>
    public (float From, float To)? FlashSeconds { get; init; }

    /// <summary>Smallest opening of an iris that beats at the start and at the end of the range, 0 to 1, or null.</summary>
    public (float From, float To)? LeastOpening { get; init; }

    /// <summary>The unit that the file itself gives the attribute's values (DIN SPEC 15800, Attribute, PhysicalUnit), or empty.</summary>
    public string StatedUnit { get; init; } = "";

    /// <summary>Index of the channel whose value decides whether this function is active, or -1.</summary>
    public int ModeMaster { get; init; } = -1;

    /// <summary>Raw range of the mode master in which this function is active.</summary>
    public uint ModeFrom { get; init; }

    public uint ModeTo { get; init; }

    public IReadOnlyList<ChannelSet> Sets { get; init; } = [];
}

public enum ResponseCurve
{
    Linear,

    /// <summary>Output = input².</summary>
    Square,

    /// <summary>Output = S-shaped 3x² - 2x³.</summary>
    SCurve,

    /// <summary>Output = √input.</summary>
    SquareRoot,
}

/// <summary>A named stretch of a function.</summary>
/// <param name="Name">What the stretch is called.</param>
/// <param name="DmxFrom">First raw value.</param>
/// <param name="DmxTo">Last raw value.</param>
/// <param name="PhysicalFrom">Physical value at the start.</param>
/// <param name="PhysicalTo">Physical value at the end.</param>
/// <param name="WheelSlot">1-based slot, or 0.</param>
public sealed record ChannelSet(string Name, uint DmxFrom, uint DmxTo, float PhysicalFrom, float PhysicalTo, int WheelSlot);

public enum RelationKind
{
    Multiply,
    Override,
}

/// <param name="MasterChannel">Index of the channel that leads.</param>
/// <param name="FollowerChannel">Index of the channel that follows.</param>
/// <param name="FollowerFunction">Index of its function.</param>
/// <param name="Kind">How.</param>
public sealed record ChannelRelation(int MasterChannel, int FollowerChannel, int FollowerFunction, RelationKind Kind);

/// <summary>Pixels wired one after another: facets, strips, batten cells.</summary>
public sealed record PixelBlock
{
    /// <summary>Index of the geometry with the grid.</summary>
    public required int Geometry { get; init; }

    public int Break { get; init; } = 1;

    /// <summary>Offset of the first byte from the break's start, from 1. Runs on into the following universes.</summary>
    public required int FirstOffset { get; init; }

    /// <summary>Order of components, letters of R, G, B, W, A (amber), such as <c>GRBW</c>.</summary>
    public required string Order { get; init; }

    /// <summary>1 or 2.</summary>
    public int BytesPerComponent { get; init; } = 1;

    public PixelPath Path { get; init; }

    /// <summary>Whether a pixel may be split over two universes; when not, the run goes on at address 1 of the next.</summary>
    public bool SplitsPixels { get; init; } = true;
}

public enum PixelPath
{
    /// <summary>Row by row, each from the left.</summary>
    Rows,

    /// <summary>Row by row, every second one from the right.</summary>
    RowsSerpentine,

    /// <summary>Column by column, each from the top.</summary>
    Columns,

    /// <summary>Column by column, every second one from the bottom.</summary>
    ColumnsSerpentine,
}
