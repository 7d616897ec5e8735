using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Profiles;
using StageView.Wire.Universes;

namespace StageView.Rig.Pieces;

/// <summary>A piece of scenery.</summary>
public sealed record SceneryPiece
{
    public required string Name { get; init; }

    /// <summary>Index in <see cref="RigScene.Meshes"/>.</summary>
    public required int Mesh { get; init; }

    public required Pose Pose { get; init; }

    public Vector3 Scale { get; init; } = Vector3.One;

    /// <summary>Diffuse albedo, linear Rec.709, 0 to 1.</summary>
    public Vector3 Albedo { get; init; } = new(0.2f);

    /// <summary>The share of light at right angles that is thrown on as by a rough mirror, 0 to .95.</summary>
    public float Shine { get; init; }

    /// <summary>How rough that mirror is, .02 to 1.</summary>
    public float Roughness { get; init; } = 0.2f;

    public SceneryKind Kind { get; init; }

    /// <summary>Which side of a room it is: floor, ceiling, left, right, rear or front; empty for everything else.</summary>
    public string RoomSide { get; init; } = "";

    /// <summary>The side that a camera sees it from, a unit vector in its own axes; zero for what is seen from everywhere.</summary>
    public Vector3 SeenFrom { get; init; }

    public CarrierPart? Carrier { get; init; }

    /// <summary>The part it stands in, or empty.</summary>
    public string Position { get; init; } = "";

    /// <summary>kg as stated; 0 when not stated.</summary>
    public float WeightKilograms { get; init; }

    /// <summary>Identity it came with from another program (MVR), or empty.</summary>
    public string Uuid { get; init; } = "";

    /// <summary>MVR layer, or empty.</summary>
    public string Layer { get; init; } = "";

    /// <summary>MVR class, or empty.</summary>
    public string Class { get; init; } = "";

    /// <summary>What it was in an MVR file where that isn't told by its kind: VideoScreen, Projector, Support; else empty.</summary>
    public string MvrElement { get; init; } = "";
}

/// <summary>A point that fixtures are focused on.</summary>
public sealed record FocusPoint(string Name, Vector3 Position, string Uuid);

/// <summary>A cable for power or data between two things of the rig, for paperwork.</summary>
/// <param name="From">Name of the fixture or piece that it starts at.</param>
/// <param name="Plug">The plug there, or empty.</param>
/// <param name="To">Name of the other end.</param>
/// <param name="ToPlug">The plug there, or empty.</param>
public sealed record Connection(string From, string Plug, string To, string ToPlug);

/// <summary>A line that someone in the house can't see over: from the eye under an edge (a balcony, a portal).</summary>
/// <param name="Eye">Where the eye is, m.</param>
/// <param name="Edge">The edge, upstage of the eye, m.</param>
public sealed record SightLine(string Name, Vector3 Eye, Vector3 Edge);

/// <summary>A mirror that hangs in the rig and does not move (those that move sit in a fixture's geometry).</summary>
public sealed record MirrorPiece
{
    public required string Name { get; init; }

    /// <summary>Convex, world metres, counter-clockwise seen from the reflecting side.</summary>
    public required Vector3[] Corners { get; init; }

    public required MirrorSurface Surface { get; init; }
}

/// <summary>A named set of points at which light is measured.</summary>
public sealed record MeasuringArea
{
    public required string Name { get; init; }

    /// <summary>Corner of the grid, m.</summary>
    public required Vector3 Origin { get; init; }

    /// <summary>First edge of the area, m.</summary>
    public required Vector3 EdgeU { get; init; }

    /// <summary>Second edge, m; zero for a line.</summary>
    public required Vector3 EdgeV { get; init; }

    /// <summary>Points along each edge, at least 1.</summary>
    public required int CountU { get; init; }

    public required int CountV { get; init; }

    /// <summary>Unit normal of the measuring plane.</summary>
    public required Vector3 Normal { get; init; }
}

public enum CautionVolumeKind
{
    Audience,
    Crew,
}

/// <summary>A box in which people may be: axis-aligned after its pose.</summary>
public sealed record CautionVolume
{
    public required string Name { get; init; }

    public required CautionVolumeKind Kind { get; init; }

    /// <summary>Pose of the box's centre.</summary>
    public required Pose Pose { get; init; }

    /// <summary>Full size along the box's own axes, m.</summary>
    public required Vector3 Size { get; init; }

    /// <summary>Eyes from which flashes and bright light are looked for, m; empty for places of the volume's own.</summary>
    public IReadOnlyList<Vector3> Seats { get; init; } = [];

    /// <summary>The point that those in it look at, m; null for the middle of what can shine.</summary>
    public Vector3? LookAt { get; init; }
}

public enum MergeRule
{
    /// <summary>Highest takes precedence.</summary>
    Htp,

    /// <summary>Latest takes precedence.</summary>
    Ltp,
}

/// <summary>What the scene file says of the network.</summary>
public sealed record NetworkSettings
{
    public ArtNetMapping ArtNet { get; init; } = ArtNetMapping.Default;

    /// <summary>Local addresses to listen on beside loopback; empty for loopback alone.</summary>
    public IReadOnlyList<string> Listen { get; init; } = [];

    /// <summary>Between sources of equal priority.</summary>
    public MergeRule Merge { get; init; } = MergeRule.Htp;

    /// <summary>Universes that merge by the other rule.</summary>
    public IReadOnlyDictionary<int, MergeRule> MergeByUniverse { get; init; } = new Dictionary<int, MergeRule>();

    /// <summary>Whether start code 0xDD (per-address priority) is honoured; off unless asked.</summary>
    public bool PerAddressPriority { get; init; }

    /// <summary>Whether packets marked as preview data are used.</summary>
    public bool AcceptPreview { get; init; } = true;

    /// <summary>Nodes and the universes they can feed; empty when the file doesn't say.</summary>
    public IReadOnlyList<FeedNode> Nodes { get; init; } = [];

    /// <summary>Attributes the console can run, or null.</summary>
    public int? ConsoleAttributes { get; init; }

    /// <summary>Universes the console can send, or null.</summary>
    public int? ConsoleUniverses { get; init; }

    /// <summary>Consoles that can take over from each other, main first; empty when the file doesn't say.</summary>
    public IReadOnlyList<ConsoleCapacity> Consoles { get; init; } = [];
}

/// <summary>A supply of fixtures.</summary>
/// <param name="Name">What hangs call it.</param>
/// <param name="Volts">Line to neutral, V.</param>
/// <param name="Amps">What each phase is said to carry, A; null when not said.</param>
public sealed record PowerFeed(string Name, double Volts, double? Amps)
{
    /// <summary>V, line to neutral (IEC 60038: 230/400 V).</summary>
    public const double UsualVolts = 230;
}

/// <summary>A console and what it can hold.</summary>
/// <param name="Name">What the rig calls it.</param>
/// <param name="Source">Its source name on the network or the address it sends from; the name where the file doesn't say.</param>
/// <param name="Universes">Universes it can send, or null.</param>
/// <param name="Attributes">Attributes it can run, or null.</param>
public sealed record ConsoleCapacity(string Name, string Source, int? Universes, int? Attributes);

/// <summary>A network node that feeds universes to positions.</summary>
public sealed record FeedNode(string Name, IReadOnlyList<int> Universes, IReadOnlyList<string> Positions);
