using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Rig.Profiles;
using StageView.Rig.Source;
using StageView.Wire.Universes;

namespace StageView.Rig.Pieces;

/// <summary>One fixture hung and patched.</summary>
public sealed record Fixture
{
    /// <summary>Place in <see cref="RigScene.Fixtures"/>.</summary>
    public required FixtureIndex Index { get; init; }

    /// <summary>Unique name in the rig.</summary>
    public required string Name { get; init; }

    /// <summary>The number the console knows it by, as text; empty when it has none.</summary>
    public string Number { get; init; } = "";

    public IReadOnlyList<string> Groups { get; init; } = [];

    /// <summary>Name of the truss, ladder or floor position it hangs on.</summary>
    public string Position { get; init; } = "";

    /// <summary>The innermost part that holds it, or none.</summary>
    public PartIndex Part { get; init; } = PartIndex.None;

    public required FixtureProfile Profile { get; init; }

    public required FixtureMode Mode { get; init; }

    /// <summary>
    /// World pose of the mode's root geometry at rest; a fixture at rest looks along its own -Z. Relative to <see cref="Carrier"/> when there is one.
    /// </summary>
    public required Pose Pose { get; init; }

    /// <summary>The moving part of another fixture (a winch) that carries this one, if any.</summary>
    public CarrierPart? Carrier { get; init; }

    /// <summary>Start address of each DMX break (break 1 first); empty when not patched.</summary>
    public IReadOnlyList<PatchStart> Patch { get; init; } = [];

    /// <summary>The fixture whose addresses this one shares (a multipatch), or none.</summary>
    public FixtureIndex SharesPatchOf { get; init; } = FixtureIndex.None;

    /// <summary>The fixture whose addresses it has: itself, or the one it shares with.</summary>
    public FixtureIndex PatchOwner => SharesPatchOf.IsNone ? Index : SharesPatchOf;

    /// <summary>Colour filter in front of it, as linear Rec.709 transmission; 1, 1, 1 for none.</summary>
    public Vector3 Filter { get; init; } = Vector3.One;

    public bool InvertPan { get; init; }

    public bool InvertTilt { get; init; }

    public bool SwapPanTilt { get; init; }

    /// <summary>Extra limits from the rig on pan, degrees, or null.</summary>
    public (float From, float To)? PanLimit { get; init; }

    /// <summary>Extra limits from the rig on tilt, degrees, or null.</summary>
    public (float From, float To)? TiltLimit { get; init; }

    /// <summary>Supply phase as stated, 1 to 3; 0 when not stated.</summary>
    public int Phase { get; init; }

    /// <summary>The feed that supplies it, as stated; empty when not stated.</summary>
    public string Feed { get; init; } = "";

    /// <summary>Identity it came with from another program (MVR), or empty.</summary>
    public string Uuid { get; init; } = "";

    /// <summary>MVR layer, or empty.</summary>
    public string Layer { get; init; } = "";

    /// <summary>MVR class, or empty.</summary>
    public string Class { get; init; } = "";

    /// <summary>Name of the focus point it is aimed at, or empty.</summary>
    public string Focus { get; init; } = "";

    /// <summary>Whether the venue brought it: a lantern of the house, not of the tour.</summary>
    public bool OfVenue { get; init; }

    /// <summary>Which one of its hang it is, from 1 over all copies; 0 for one that no file holds.</summary>
    public int Member { get; init; }

    /// <summary>The hang that it was written with; null for one that no file holds.</summary>
    public SourcePlace? Source { get; init; }
}

/// <param name="Fixture">The carrying fixture.</param>
/// <param name="Geometry">Index of the geometry in that fixture's mode.</param>
public readonly record struct CarrierPart(FixtureIndex Fixture, int Geometry);

/// <param name="Break">DMX break, from 1.</param>
/// <param name="Start">Address of the break's offset 1.</param>
public readonly record struct PatchStart(int Break, UniverseAddress Start);
