using System.Numerics;
using StageView.Light.Colour;

namespace StageView.Rig.Profiles;

/// <summary>A flag or a medium in the beam.</summary>
/// <param name="Name">Its name.</param>
/// <param name="Colour">What it lets through fully inserted, as linear Rec.709 transmission of open white.</param>
/// <param name="Bands">Transmission fully inserted in the bands of <see cref="CieObserver"/>, 0 to 1.</param>
/// <param name="Insertions">How far it acts (Y, 0 to 1) at a share of its travel (X), rising; empty where it acts in proportion.</param>
public sealed record FilterData(string Name, Vector3 Colour, float[] Bands, IReadOnlyList<Vector2> Insertions);
