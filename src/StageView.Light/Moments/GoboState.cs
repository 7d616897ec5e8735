namespace StageView.Light.Moments;

/// <summary>What stands in the gobo plane at this instant.</summary>
/// <param name="Image">1-based index in <see cref="Moment.GoboImages"/>, or 0 for open (the default value is open).</param>
/// <param name="RotationRadians">Rotation about the axis, right hand, rad.</param>
/// <param name="OffsetX">Shift across the field in units of the field radius (wheel between slots, shake); 0 centred.</param>
public readonly record struct GoboState(int Image, float RotationRadians, float OffsetX);

/// <summary>What the prism does at this instant.</summary>
/// <param name="Facets">Number of facets; 0 or 1 means no prism.</param>
/// <param name="RotationRadians">Rotation of the prism about the axis, rad.</param>
/// <param name="SpreadRadians">Angle by which each facet turns its copy of the beam off the axis, rad.</param>
/// <remarks>The stage expands a prism into one beam a facet (flux shared), so <see cref="Beam.Prism"/> only tells where a beam came from.</remarks>
public readonly record struct PrismState(int Facets, float RotationRadians, float SpreadRadians);
