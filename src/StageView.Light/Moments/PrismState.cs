namespace StageView.Light.Moments;

/// <summary>What the prism does at this instant.</summary>
/// <param name="Facets">Number of facets; 0 or 1 means no prism.</param>
/// <param name="RotationRadians">Rotation of the prism about the axis, rad.</param>
/// <param name="SpreadRadians">Angle by which each facet turns its copy of the beam off the axis, rad.</param>
/// <remarks>The stage expands a prism into one beam a facet (flux shared), so <see cref="Beam.Prism"/> only tells where a beam came from.</remarks>
public readonly record struct PrismState(int Facets, float RotationRadians, float SpreadRadians);
