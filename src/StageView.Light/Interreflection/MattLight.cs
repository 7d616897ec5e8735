using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Measure;
using StageView.Light.Sampling;

namespace StageView.Light.Interreflection;

/// <summary>What the matt surfaces of a moment throw on each other: solved by <see cref="MattSolver"/>. For many readers.</summary>
public sealed class MattLight : IndirectLight
{
    private const int RaysAtPoint = 1024;
    private readonly MattRays _rays;
    private readonly Vector3[] _direct;
    private readonly Vector3[] _indirect;
    private readonly Vector3[] _exitance;
    private readonly Lazy<Vector3[]> _smooth;

    internal MattLight(MattRays rays, PatchLinks links, Vector3[] direct, Vector3[] indirect, Vector3[] exitance) =>
        (_rays, Links, _direct, _indirect, _exitance, _smooth) = (rays, links, direct, indirect, exitance,
            new Lazy<Vector3[]>(() => PatchSmoothing.Of(rays.Patches, links, indirect)));

    internal PatchMap Patches => _rays.Patches;

    internal PatchLinks Links { get; }

    internal MattRays Rays => _rays;

    /// <summary>Pieces of scenery in the moment that was solved.</summary>
    public int Pieces => Patches.Grids.Length;

    /// <summary>Light on one of them by place, or null where it counts for nothing.</summary>
    public MattGrid? GridOf(InstanceIndex piece) => Patches.Grids[piece.Value] is { } grid ? new MattGrid(grid, this) : null;

    /// <summary>Light of pixel surfaces that landed off mirrors, lm.</summary>
    internal double SurfacesOffMirrors { get; init; }

    /// <summary>Rounds that the solution took.</summary>
    internal int Rounds { get; init; }

    /// <summary>Straight from the sources, a patch each, linear Rec.709 in lx.</summary>
    internal ReadOnlySpan<Vector3> Direct => _direct;

    /// <summary>From the other patches, linear Rec.709 in lx.</summary>
    internal ReadOnlySpan<Vector3> Indirect => _indirect;

    /// <summary>The same without the grain of few rays, for pictures.</summary>
    internal ReadOnlySpan<Vector3> Smooth => _smooth.Value;

    /// <summary>What each patch throws back, linear Rec.709 in lm/m².</summary>
    internal ReadOnlySpan<Vector3> Exitance => _exitance;

    /// <summary>What a plane gets at a point from the other surfaces, linear Rec.709 in lx.</summary>
    /// <param name="point">m.</param>
    /// <param name="normal">Unit; the side from which light counts.</param>
    public Vector3 At(Vector3 point, Vector3 normal) => At(point, new PlaneReceiver(normal));

    /// <inheritdoc/>
    /// <remarks>Rays from the point to the patches: near ones are seen in their true place and size.</remarks>
    internal override Vector3 At<TReceiver>(Vector3 point, in TReceiver receiver)
    {
        var normal = receiver.Normal;
        var sum = Vector3.Zero;
        for (var i = 0; i < RaysAtPoint; i++)
        {
            var (a, b) = (Sobol.At(i, 0), Sobol.At(i, 1));
            var (direction, weight) = normal == Vector3.Zero ? (MattRays.AllRound(a, b), 4f) : (MattRays.Cosine(normal, a, b), 1f);
            weight *= normal == Vector3.Zero ? receiver.Weight(direction) : 1;
            if (weight <= 0)
            {
                continue;
            }

            var patch = _rays.Follow(point + (normal * LightMeter.Lift), direction, FixtureIndex.None, out var way);
            if (patch >= 0)
            {
                sum += _exitance[patch] * (weight * way.Share);
            }
        }

        return sum / RaysAtPoint;
    }
}
