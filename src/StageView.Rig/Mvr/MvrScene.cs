using System.Numerics;
using StageView.Light.Geometry;

namespace StageView.Rig.Mvr;

/// <summary>What an MVR file (DIN SPEC 15801) says, in metres and world coordinates.</summary>
internal sealed class MvrScene
{
    public List<MvrFixture> Fixtures { get; } = [];

    public List<MvrPiece> Pieces { get; } = [];

    public List<MvrFocusPoint> FocusPoints { get; } = [];

    /// <summary>Our own fixture profiles by GDTFSpec, where StageView wrote the file.</summary>
    public Dictionary<string, string> OwnProfiles { get; } = new(StringComparer.Ordinal);

    /// <summary>Connections: identity of an object, its plug, identity of the other object, its plug.</summary>
    public List<(string Own, string Plug, string Other, string OtherPlug)> Connections { get; } = [];

    /// <summary>What fixtures show parts of, by identity.</summary>
    public Dictionary<string, MvrMappingSource> MappingSources { get; } = new(StringComparer.OrdinalIgnoreCase);

    /// <summary>Files in the archive that are sources of video: pictures and films.</summary>
    public List<string> Media { get; } = [];

    public List<string> NotUnderstood { get; } = [];
}

/// <param name="Addresses">MVR break as written, and the absolute address counted from 0; unpatched ones left out.</param>
internal sealed record MvrFixture(
    string Uuid, string Name, Pose Pose, string Spec, string Mode, string Id, IReadOnlyList<(int Break, int Absolute)> Addresses,
    string Layer, string Class, string Position, string Focus, bool InvertPan, bool InvertTilt)
{
    /// <summary>The moving part of the fixture above it that carries it, or null.</summary>
    public MvrCarrier? Carrier { get; init; }

    /// <summary>Identity of the fixture whose addresses it shares, or empty.</summary>
    public string Multipatch { get; init; } = "";

    /// <summary>What is added to a break as written to count from 1, as GDTF does: MVR breaks start at 0 where a 0 is written.</summary>
    public int FirstBreak => Addresses.Any(a => a.Break == 0) ? 1 : 0;

    /// <summary>What it has instead of its type's own wheels, slots, emitters and filters.</summary>
    public IReadOnlyList<MvrOverwrite> Overwrites { get; init; } = [];

    /// <summary>The parts of pictures that it shows.</summary>
    public IReadOnlyList<MvrMapping> Mappings { get; init; } = [];

    /// <summary>What is kept as a note for people.</summary>
    public string Notes { get; init; } = "";

    /// <summary>Colour of the filter in it, or null.</summary>
    public System.Numerics.Vector3? Filter { get; init; }
}

/// <param name="Fixture">Place of the carrying fixture in <see cref="MvrScene.Fixtures"/>.</param>
/// <param name="Part">ChildPosition: geometries from the root, joined by dots.</param>
/// <param name="Local">Placement in that geometry.</param>
internal sealed record MvrCarrier(int Fixture, string Part, System.Numerics.Matrix4x4 Local)
{
    /// <summary>What carries the fixture itself, and with it all it holds that names no part; null where nothing does.</summary>
    public MvrCarrier? Outer { get; init; }
}

/// <param name="Carrier">The moving part that it lies in, or null.</param>
internal sealed record MvrFocusPoint(string Name, Vector3 Position, string Uuid, MvrCarrier? Carrier);

/// <param name="Kind">Element: SceneObject, Truss, Support, VideoScreen, Projector.</param>
/// <param name="Meshes">Files in the archive with their placement.</param>
internal sealed record MvrPiece(string Uuid, string Name, string Kind, IReadOnlyList<MvrMesh> Meshes, string Layer, string Class)
{
    /// <summary>The moving part of the fixture above it that carries it, or null; meshes are then placed in that part.</summary>
    public MvrCarrier? Carrier { get; init; }

    /// <summary>What is kept as a note for people.</summary>
    public string Notes { get; init; } = "";
}

internal sealed record MvrMesh(string File, Pose Pose, Vector3 Scale);
