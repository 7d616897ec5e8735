using System.Numerics;

namespace StageView.Paperwork.Drawings;

/// <summary>A ray that a drawing shows over the rig.</summary>
/// <param name="From">m.</param>
/// <param name="To">m.</param>
/// <param name="HazardMetres">How far from its start it lies within its hazard distance, m.</param>
public sealed record OverlayRay(Vector3 From, Vector3 To, float HazardMetres);

/// <summary>A place with a label, at the end of a ray.</summary>
/// <param name="From">Where the ray comes from, m.</param>
/// <param name="At">The place, m.</param>
/// <param name="Text">The label.</param>
/// <param name="Radius">Radius of a circle about it, m; 0 for none.</param>
public sealed record OverlayMark(Vector3 From, Vector3 At, string Text, float Radius);

/// <summary>What is drawn over a plan or side view.</summary>
/// <param name="Title">Stands before the view's own title.</param>
/// <param name="Rays">Lines with the stretches that are within a hazard distance.</param>
/// <param name="Marks">Labelled ends.</param>
/// <param name="Fixtures">Fixtures that are labelled, by their place in the rig.</param>
/// <param name="Legend">Lines in the upper left corner.</param>
public sealed record DrawingOverlay(
    string Title, IReadOnlyList<OverlayRay> Rays, IReadOnlyList<OverlayMark> Marks, IReadOnlySet<int> Fixtures, IReadOnlyList<string> Legend);
