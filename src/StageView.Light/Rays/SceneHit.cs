using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Moments;

namespace StageView.Light.Rays;

/// <summary>What a ray met first.</summary>
/// <param name="Distance">m from the ray's origin.</param>
/// <param name="Point">World point, m.</param>
/// <param name="Normal">Unit geometric normal, turned towards the ray's origin.</param>
/// <param name="Instance">What of <see cref="Moment.Scenery"/> was met, or none.</param>
/// <param name="Mirror">Which of <see cref="Moment.Mirrors"/> was met, or none.</param>
/// <param name="Triangle">Which triangle of the instance's mesh, or -1.</param>
public readonly record struct SceneHit(
    float Distance, Vector3 Point, Vector3 Normal, InstanceIndex Instance, MirrorIndex Mirror, int Triangle = -1);
