using System.Numerics;
using StageView.Rig.Profiles;

namespace StageView.Rig.Gdtf;

/// <summary>A Model of a GDTF file, ready to be drawn.</summary>
/// <param name="Size">Length (x), Width (y), Height (z), m.</param>
/// <param name="Mesh">Index in the rig's meshes.</param>
/// <param name="Shape">What it is.</param>
/// <param name="Scale">What the mesh is scaled by.</param>
/// <param name="Lift">Where the mesh's origin lies over the geometry's, m.</param>
internal sealed record GdtfModel(Vector3 Size, int Mesh, BodyShape Shape, Vector3 Scale, float Lift);
