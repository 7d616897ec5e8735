using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;

namespace StageView.Rig.Profiles;

/// <summary>A fixture type: what our JSON profiles and GDTF files are both read into. Names are DIN SPEC 15800's.</summary>
public sealed record FixtureProfile
{
    public required string Name { get; init; }

    /// <summary>File it came from.</summary>
    public required string File { get; init; }

    public required IReadOnlyList<FixtureMode> Modes { get; init; }

    /// <summary>GDTF file that it stands in for (empty where not even its name is known), or null.</summary>
    public string? StandsFor { get; init; }

    /// <summary>Modes that the file has and that can't be used.</summary>
    public IReadOnlyList<RefusedMode> RefusedModes { get; init; } = [];

    public IReadOnlyList<Wheel> Wheels { get; init; } = [];

    public IReadOnlyList<Emitter> Emitters { get; init; } = [];

    public IReadOnlyList<FilterData> Filters { get; init; } = [];

    public IReadOnlyList<ColourSpace> ColourSpaces { get; init; } = [];

    /// <summary>kg, or null where the profile doesn't say.</summary>
    public float? WeightKilograms { get; init; }

    /// <summary>W at full, or null where the profile doesn't say.</summary>
    public float? PowerWatts { get; init; }

    /// <summary>How its power follows its levels; null where the profile doesn't say.</summary>
    public LoadData? Load { get; init; }

    /// <summary>What the profile states beside what its photometric files say; empty where it has none.</summary>
    public IReadOnlyList<PhotometryMatch> Photometry { get; init; } = [];

    /// <summary>What of the file was not understood or is not simulated, one line each.</summary>
    public IReadOnlyList<string> NotUnderstood { get; init; } = [];
}

/// <summary>Electrical power by level.</summary>
/// <param name="StandbyWatts">While dark, W.</param>
/// <param name="Curve">Level and share of the power between standby and full, both 0 to 1, levels rising; in proportion when empty.</param>
/// <param name="PeakWatts">While it flashes, W; null when not said.</param>
/// <param name="PowerFactor">0.1 to 1.</param>
/// <param name="WarmUpSeconds">How long a lamp warms up, s; 0 for none.</param>
/// <param name="WarmUpWatts">What it draws meanwhile, W.</param>
public sealed record LoadData(
    double StandbyWatts, IReadOnlyList<(double Level, double Share)> Curve, double? PeakWatts, double PowerFactor, double WarmUpSeconds, double WarmUpWatts);

/// <param name="Name">The mode's name.</param>
/// <param name="Why">Why it can't be used.</param>
public sealed record RefusedMode(string Name, string Why);

/// <summary>A DMX mode with its geometry tree expanded: references are resolved, every instance has its own node.</summary>
public sealed record FixtureMode
{
    public required string Name { get; init; }

    /// <summary>Parents before children; node 0 is the root.</summary>
    public required IReadOnlyList<GeometryNode> Geometry { get; init; }

    public required IReadOnlyList<DmxChannel> Channels { get; init; }

    /// <summary>Blocks of pixels wired in a run, beside the channels.</summary>
    public IReadOnlyList<PixelBlock> PixelBlocks { get; init; } = [];

    /// <summary>Channel functions that follow other channels.</summary>
    public IReadOnlyList<ChannelRelation> Relations { get; init; } = [];

    /// <summary>Addresses used in each break (break 1 first).</summary>
    public required IReadOnlyList<int> Footprints { get; init; }
}

/// <summary>One geometry of the fixture.</summary>
public sealed record GeometryNode
{
    public required int Index { get; init; }

    /// <summary>Instance name, unique in the mode.</summary>
    public required string Name { get; init; }

    /// <summary>Index of the parent, -1 for the root.</summary>
    public required int Parent { get; init; }

    /// <summary>Placement in the parent at rest.</summary>
    public required Pose Pose { get; init; }

    /// <summary>How channels move it, if they do.</summary>
    public AxisData? Axis { get; init; }

    public BeamData? Beam { get; init; }

    public PixelGridData? Pixels { get; init; }

    public MirrorData? Mirror { get; init; }

    public LaserData? Laser { get; init; }

    /// <summary>What is drawn of it, or null.</summary>
    public BodyData? Body { get; init; }
}

public enum AxisMotion
{
    /// <summary>Right-hand turn about the node's own Z (pan).</summary>
    TurnZ,

    /// <summary>Right-hand turn about the node's own X (tilt).</summary>
    TurnX,

    /// <summary>Travel along the parent's Z (a winch), m.</summary>
    TravelZ,
}

/// <summary>A driven axis and the speed of its mechanics.</summary>
/// <param name="Motion">What moves.</param>
/// <param name="TopSpeed">deg/s or m/s; 0 means at once.</param>
/// <param name="Acceleration">deg/s² or m/s²; 0 means at once.</param>
/// <param name="SettleSeconds">Time after arrival until it stands still, s.</param>
public sealed record AxisData(AxisMotion Motion, float TopSpeed, float Acceleration, float SettleSeconds);

public enum BeamKind
{
    /// <summary>Hard-edged.</summary>
    Spot,

    /// <summary>Soft-edged.</summary>
    Wash,

    /// <summary>Shines all round (globe).</summary>
    Glow,
}

/// <summary>An emitter's optics at full, open white; the beam shines along the node's -Z, its own up is +Y.</summary>
public sealed record BeamData
{
    public BeamKind Kind { get; init; }

    /// <summary>lm at full.</summary>
    public float LuminousFlux { get; init; } = 10_000;

    /// <summary>Full beam angle (50 %), rad, where no zoom channel says otherwise.</summary>
    public float BeamAngle { get; init; } = 25 * Angles.RadiansPerDegree;

    /// <summary>Full field angle (10 %), rad; the ratio to the beam angle holds at every zoom.</summary>
    public float FieldAngle { get; init; } = 28 * Angles.RadiansPerDegree;

    /// <summary>
    /// What the beam looks like across; of one that isn't round, <see cref="BeamAngle"/> and <see cref="FieldAngle"/> lie along the node's own X.
    /// </summary>
    public BeamForm Form { get; init; }

    /// <summary>Full beam angle along the node's own Y, rad, 0 for a round beam; its ratio to <see cref="BeamAngle"/> holds at every zoom.</summary>
    public float BeamAngleUp { get; init; }

    /// <summary>Lens radius, m.</summary>
    public float LensRadius { get; init; } = 0.05f;

    /// <summary>Colour temperature of open white, K.</summary>
    public float ColourTemperature { get; init; } = 6000;

    /// <summary>More of the source than its temperature, or null.</summary>
    public LightSource? Source { get; init; }

    /// <summary>Index in <c>RigScene.Webs</c>, or -1.</summary>
    public int Web { get; init; } = -1;

    /// <summary>A mesh-drawn glowing lens; luminance follows the flux.</summary>
    public bool DrawLens { get; init; } = true;

    /// <summary>Radius of the glowing globe, m; 0 where it is none.</summary>
    public float GlobeRadius { get; init; }
}

/// <summary>
/// A grid of pixels on the node's XY plane, front along the node's -Z (where a beam would shine). Seen from the front, column 0 row 0 is top left, +Y is up and
/// the first column lies at +X.
/// </summary>
public sealed record PixelGridData
{
    public required int Columns { get; init; }

    public required int Rows { get; init; }

    /// <summary>Full width along X, m.</summary>
    public required float Width { get; init; }

    /// <summary>Full height along Y, m.</summary>
    public required float Height { get; init; }

    /// <summary>Luminance of all emitters at full, cd/m² of the emitting part.</summary>
    public required float PeakLuminance { get; init; }

    /// <summary>Share of the pitch that emits, 0 to 1.</summary>
    public float Fill { get; init; } = 0.8f;

    public PixelShape Shape { get; init; }
}

/// <param name="Corners">Convex, in the node's own coordinates, counter-clockwise seen from the reflecting side, m.</param>
public sealed record MirrorData(Vector3[] Corners, MirrorSurface Surface);

/// <summary>A laser aperture; shines along the node's -Z.</summary>
public sealed record LaserData
{
    /// <summary>W at full.</summary>
    public required float PowerWatts { get; init; }

    /// <summary>Wavelengths of its colours, nm (red, green, blue for an RGB laser; one for a single line).</summary>
    public required float[] Wavelengths { get; init; }

    /// <summary>Share of the power in each wavelength at full, summing to 1.</summary>
    public required float[] PowerShares { get; init; }

    public required float ApertureMetres { get; init; }

    /// <summary>Full divergence, rad.</summary>
    public required float DivergenceRadians { get; init; }

    /// <summary>The figure it draws where no wheel chooses another: 1-based place in <c>RigScene.Scans</c>, 0 for a beam that stands still.</summary>
    public int Scan { get; init; }
}

public enum BodyShape
{
    Box,
    Cylinder,
    Sphere,
    Mesh,
}

/// <param name="Shape">What it looks like.</param>
/// <param name="Size">Full size along the node's axes, m.</param>
/// <param name="Mesh">Index in <c>RigScene.Meshes</c> (unit shapes included), filled in by the loader.</param>
/// <param name="Offset">Placement in the node.</param>
public sealed record BodyData(BodyShape Shape, Vector3 Size, int Mesh, Pose Offset);

public sealed record Wheel(string Name, IReadOnlyList<WheelSlot> Slots);

/// <param name="Name">The slot's name.</param>
/// <param name="Colour">Transmitted colour as linear Rec.709 transmission, 1,1,1 for open.</param>
/// <param name="GoboImage">1-based index in <c>RigScene.GoboImages</c>, 0 for none.</param>
/// <param name="PrismFacets">Facets of a prism slot, 0 for none.</param>
/// <param name="PrismSpread">How far each facet turns its copy, rad.</param>
public sealed record WheelSlot(string Name, Vector3 Colour, int GoboImage = 0, int PrismFacets = 0, float PrismSpread = 0)
{
    /// <summary>The figure that a laser draws with this slot: 1-based place in <c>RigScene.Scans</c>, 0 for none.</summary>
    public int Scan { get; init; }

    /// <summary>What each facet of a prism does, where they differ in more than their place around the axis; else empty.</summary>
    public IReadOnlyList<PrismFacet> Facets { get; init; } = [];

    /// <summary>Whether it lets all light through as it is.</summary>
    public bool IsOpen => GoboImage == 0 && PrismFacets == 0 && Vector3.Distance(Colour, Vector3.One) < .02f;
}

/// <summary>One facet of a prism.</summary>
/// <param name="AzimuthRadians">Towards where it turns its copy, from the beam's own +X towards its +Y, rad.</param>
/// <param name="TurnRadians">How far, rad.</param>
/// <param name="Colour">Transmitted colour, linear Rec.709 transmission.</param>
public readonly record struct PrismFacet(float AzimuthRadians, float TurnRadians, Vector3 Colour);

/// <summary>One colour of an additive fixture.</summary>
/// <param name="Name">Its name, such as Red.</param>
/// <param name="X">CIE 1931 x.</param>
/// <param name="Y">CIE 1931 y.</param>
/// <param name="Share">Share of the fixture's full luminous flux, 0 to 1.</param>
public sealed record Emitter(string Name, float X, float Y, float Share)
{
    /// <summary>Measured light at parts of the level, rising, from above 0 to 1; linear between, dark at 0. Empty where it goes in proportion.</summary>
    public IReadOnlyList<EmitterLevel> Levels { get; init; } = [];
}

/// <param name="Level">Share of the level, 0 to 1.</param>
/// <param name="X">CIE 1931 x there.</param>
/// <param name="Y">CIE 1931 y there.</param>
/// <param name="Output">Luminous flux there as a share of the emitter's own at full.</param>
public sealed record EmitterLevel(float Level, float X, float Y, float Output);
