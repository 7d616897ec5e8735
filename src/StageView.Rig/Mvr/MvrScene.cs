using System.Numerics;
using StageView.Light;

namespace StageView.Rig;

/// <summary>What an MVR file (DIN SPEC 15801) says, in metres and world coordinates.</summary>
internal sealed class MvrScene
{
    public List<MvrFixture> Fixtures { get; } = [];

    public List<MvrPiece> Pieces { get; } = [];

    public List<FocusPoint> FocusPoints { get; } = [];

    /// <summary>Our own fixture profiles by GDTFSpec, where StageView wrote the file.</summary>
    public Dictionary<string, string> OwnProfiles { get; } = new(StringComparer.Ordinal);

    public List<string> NotUnderstood { get; } = [];
}

/// <param name="Addresses">MVR break as written, and the absolute address counted from 0; unpatched ones left out.</param>
internal sealed record MvrFixture(
    string Uuid, string Name, Pose Pose, string Spec, string Mode, string Id, IReadOnlyList<(int Break, int Absolute)> Addresses,
    string Layer, string Class, string Position, string Focus, bool InvertPan, bool InvertTilt);

/// <param name="Kind">Element: SceneObject, Truss, Support, VideoScreen, Projector.</param>
/// <param name="Meshes">Files in the archive with their placement.</param>
internal sealed record MvrPiece(string Uuid, string Name, string Kind, IReadOnlyList<MvrMesh> Meshes, string Layer, string Class);

internal sealed record MvrMesh(string File, Pose Pose, Vector3 Scale);
