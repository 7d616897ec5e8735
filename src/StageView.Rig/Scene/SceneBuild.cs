using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Assets;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>A rig while it is being read.</summary>
internal sealed class SceneBuild
{
    public SceneBuild() => Bounds = new SceneBounds(Problems);

    public RigLoadOptions Options { get; init; } = RigLoadOptions.Default;

    public RigAssets Assets { get; } = new();

    public ProblemList Problems { get; } = new();

    public SceneBounds Bounds { get; }

    public List<HungFixture> Hung { get; } = [];

    public List<RigPart> Parts { get; } = [];

    public List<SceneryPiece> Scenery { get; } = [];

    /// <summary>Pieces waiting for the fixture that carries them.</summary>
    public List<(int Piece, SourceNode Carried)> CarriedPieces { get; } = [];

    public List<MirrorPiece> Mirrors { get; } = [];

    public List<Camera> Cameras { get; } = [];

    public List<MeasuringArea> Areas { get; } = [];

    public List<CautionVolume> Volumes { get; } = [];

    /// <summary>Caution limits that a file sets, by key.</summary>
    public Dictionary<string, double> Limits { get; } = new(StringComparer.Ordinal);

    public List<SourceNode> PatchRuns { get; } = [];

    /// <summary>The venue's.</summary>
    public List<SourceNode> VenueRuns { get; } = [];

    public List<RigPreset> Presets { get; } = [];

    public List<CompareRule> Compare { get; } = [];

    public List<(ContentPlacement Content, SourceNode At)> Content { get; } = [];

    public List<(PixelMapPlan Map, SourceNode At)> PixelMaps { get; } = [];

    public List<FocusPoint> FocusPoints { get; } = [];

    public List<(Connection Connection, SourceNode At)> Connections { get; } = [];

    public List<PowerFeed> Feeds { get; } = [];

    public List<string> NotTakenOver { get; } = [];

    public List<SightLine> SightLines { get; } = [];

    public VenueOverlay? Venue { get; set; }

    public string? Name { get; set; }

    public Haze? Haze { get; set; }

    public NetworkSettings? Network { get; set; }

    public int? Bounces { get; set; }
}

/// <summary>A fixture before its addresses and carriers are settled.</summary>
internal sealed class HungFixture
{
    public required string Name { get; set; }

    public required string HangName { get; init; }

    public required SourceNode Hang { get; init; }

    /// <summary>From 1, over all copies of the hang.</summary>
    public required int Member { get; init; }

    public required FixtureProfile Profile { get; set; }

    public required FixtureMode Mode { get; set; }

    public required Pose Pose { get; set; }

    /// <summary>The name of the focus point it looks at, and its pose once that is known.</summary>
    public (SourceNode Name, Func<Vector3, Pose> Pose)? Aim { get; init; }

    public required string Number { get; init; }

    public required IReadOnlyList<string> Groups { get; init; }

    public required string Position { get; init; }

    public PartIndex Part { get; init; } = PartIndex.None;

    public SourceNode? Override { get; init; }

    public bool LeftOut { get; init; }

    /// <summary>Whether the venue leaves it out: it keeps its place among numbers and addresses.</summary>
    public bool Removed { get; set; }

    /// <summary>Whether the venue brought it.</summary>
    public bool Added { get; init; }

    public bool IsThere => !LeftOut && !Removed;

    public VenueTouch Venue { get; init; } = VenueTouch.None;

    public List<PatchStart> Patch { get; } = [];

    /// <summary>The node that gave the address, for messages.</summary>
    public SourceNode? PatchedBy { get; set; }

    public SourceNode? CarriedBy { get; init; }

    /// <summary>The fixture whose addresses this one shares, or null.</summary>
    public HungFixture? PatchOf { get; set; }

    public string Words(string key) => Override?.TextOr(key) is { Length: > 0 } own ? own : Hang.TextOr(key);

    public bool Flag(string key) => (Override?.Get(key) ?? Hang.Get(key)) is { Kind: SourceKind.Flag, Flag: true };

    public (float From, float To)? Limit(string key) => Override?.Pair(key) ?? Hang.Pair(key);
}
