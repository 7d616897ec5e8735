using System.Numerics;

namespace StageView.Light;

/// <summary>What a ray met first.</summary>
/// <param name="Distance">m from the ray's origin.</param>
/// <param name="Point">World point, m.</param>
/// <param name="Normal">Unit geometric normal, turned towards the ray's origin.</param>
/// <param name="Instance">Index in <see cref="Moment.Scenery"/>, or -1.</param>
/// <param name="Mirror">Index in <see cref="Moment.Mirrors"/>, or -1.</param>
/// <param name="Triangle">Which triangle of the instance's mesh, or -1.</param>
public readonly record struct SceneHit(float Distance, Vector3 Point, Vector3 Normal, int Instance, int Mirror, int Triangle = -1);
