using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;

namespace StageView.Light.Measure;

/// <summary>All that is asked about one beam: its way, its landing, its footprint, its losses.</summary>
public sealed record BounceReport
{
    /// <summary>Which of <see cref="Moment.Beams"/>.</summary>
    public required BeamIndex Beam { get; init; }

    public required FixtureIndex Fixture { get; init; }

    public required int Emitter { get; init; }

    /// <summary>Mirrors met, first met first, of <see cref="Moment.Mirrors"/>.</summary>
    public required MirrorIndex[] Mirrors { get; init; }

    /// <summary>The leading ray's corners: lens, each mirror, landing (or a point far off), m.</summary>
    public required Vector3[] Path { get; init; }

    public required Landing? Landing { get; init; }

    public required Footprint? Footprint { get; init; }

    /// <summary>Flux on its way after the last mirror, lm (haze not taken off).</summary>
    public required double Flux { get; init; }

    /// <summary>Share of the fixture's direct flux that comes this way.</summary>
    public required double Share { get; init; }

    /// <summary>Share of the beam before the last mirror that missed that mirror's outline; 0 for a direct beam.</summary>
    public required double CutOff { get; init; }

    /// <summary>Of what arrives at the last mirror, thrown back by the front of its sheet as a second, offset image.</summary>
    public required double GhostShare { get; init; }

    /// <summary>How far the ghost lies beside the main image, square to the beam, m: 2·d·sin θ with d the sheet's effective depth.</summary>
    public required double GhostOffset { get; init; }
}
