using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Light.Cautions.Volumes;

/// <summary>
/// A pixel surface or globe as light at points of a room: the light from all round, ∫ L dω, and the vector ∫ L ω dω, whose length is the illuminance of the
/// plane that faces it when all of it is in front of that plane (Lambert's law; Gershun's light vector).
/// </summary>
internal sealed class AreaSource
{
    private readonly LightMeter _meter;
    private readonly PixelSurface _surface;
    private readonly SurfaceSums _sums;
    private readonly float _most;
    private readonly float _mean;
    private readonly float _area;
    private readonly Vector3 _front;
    private readonly (float U, float V) _length;

    public AreaSource(LightMeter meter, int surface, SurfaceSums sums)
    {
        (_meter, _surface, _sums) = (meter, meter.Moment.PixelSurfaces.Span[surface], sums);
        foreach (var pixel in meter.Moment.Pixels.Span.Slice(_surface.FirstPixel, _surface.Columns * _surface.Rows))
        {
            _most = MathF.Max(_most, BeamPhotometry.Luminance(pixel));
        }

        _mean = BeamPhotometry.Luminance(sums.Mean(0, _surface.Columns, 0, _surface.Rows));
        _length = (_surface.EdgeU.Length(), _surface.EdgeV.Length());
        _front = IsGlobe ? Vector3.Zero : _surface.FrontNormal;
        _area = IsGlobe ? 0 : Vector3.Cross(_surface.EdgeU, _surface.EdgeV).Length() * _surface.Fill * _surface.Fill;
    }

    public FixtureIndex Fixture => _surface.Fixture;

    private bool IsGlobe => _surface.Shape == PixelShape.Globe;

    /// <summary>Light at a point, lx: from all round, and as a vector towards it.</summary>
    /// <param name="point">m.</param>
    /// <param name="scene">What stands in the way; null for nothing.</param>
    /// <param name="vector">Towards the light, lx.</param>
    public float At(Vector3 point, OcclusionScene? scene, out Vector3 vector) =>
        IsGlobe ? OfGlobe(point, scene, out vector) : OfFlat(point, scene, out vector, out _);

    /// <summary>No point of a ball gets more light from all round, lx. Tends to the light at its centre as the ball shrinks.</summary>
    public float AtMost(Vector3 centre, float radius)
    {
        if (IsGlobe)
        {
            var globe = _length.U / 2;
            var near = Vector3.Distance(centre, _surface.Origin) - radius;
            return near <= globe ? MathF.Tau * _mean : _mean * Cap(globe, near) * _meter.HazeOver(near - globe);
        }

        var height = Vector3.Dot(centre - _surface.Origin, _front);
        if (height + radius <= 0)
        {
            return 0;
        }

        var most = MathF.Tau * _most * _surface.Fill * _surface.Fill;
        var distance = LightMeter.Nearest(_surface, _length.U, _length.V, centre);
        if (distance <= radius)
        {
            return most;
        }

        var least = distance - radius;
        most = MathF.Min(most, _mean * _area / (least * least) * MathF.Min(1, (height + radius) / least) * _meter.HazeOver(least));
        // Each bit's share is h/r³ of its area, whose gradient is at most 2/r³. Sums over blocks are .5 % off at most.
        var here = OfFlat(centre, null, out _, out var steepness);
        var grown = here + (2 * radius * steepness / MathF.Pow(1 - (radius / distance), 3));
        return MathF.Min(most, grown * 1.01f / _meter.HazeOver(radius));
    }

    /// <summary>The corners of something convex that holds the whole source.</summary>
    public int Corners(Span<Vector3> corners)
    {
        if (!IsGlobe)
        {
            corners[0] = _surface.Origin;
            corners[1] = _surface.Origin + _surface.EdgeU;
            corners[2] = _surface.Origin + _surface.EdgeV;
            corners[3] = _surface.Origin + _surface.EdgeU + _surface.EdgeV;
            return 4;
        }

        for (var k = 0; k < 8; k++)
        {
            corners[k] = _surface.Origin + (new Vector3((k & 1) - 0.5f, ((k >> 1) & 1) - 0.5f, (k >> 2) - 0.5f) * _length.U);
        }

        return 8;
    }

    /// <summary>Solid angle of a ball of a radius at a distance, sr.</summary>
    private static float Cap(float radius, float distance)
    {
        var share = radius / distance;
        return MathF.Tau * (1 - MathF.Sqrt(MathF.Max(0, 1 - (share * share))));
    }

    private float OfGlobe(Vector3 point, OcclusionScene? scene, out Vector3 vector)
    {
        vector = Vector3.Zero;
        var to = _surface.Origin - point;
        var (distance, radius) = (to.Length(), _length.U / 2);
        if (distance <= radius)
        {
            return 0;
        }

        var towards = to / distance;
        if (scene?.Blocked(point, point + (towards * (distance - radius)), exceptFixture: _surface.Fixture) ?? false)
        {
            return 0;
        }

        var luminance = _mean * _meter.HazeOver(distance - radius);
        vector = towards * (luminance * MathF.PI * radius * radius / (distance * distance));
        return luminance * Cap(radius, distance);
    }

    /// <summary>The sum over blocks of the surface, and the same with 1/r³ in place of cos/r².</summary>
    private float OfFlat(Vector3 point, OcclusionScene? scene, out Vector3 vector, out float steepness)
    {
        (vector, steepness) = (Vector3.Zero, 0);

        var near = MathF.Max(1e-3f, LightMeter.Nearest(_surface, _length.U, _length.V, point));
        var blocksU = LightMeter.Blocks(_length.U / (LightMeter.BlockShare * near), _surface.Columns);
        var blocksV = LightMeter.Blocks(_length.V / (LightMeter.BlockShare * near), _surface.Rows);
        var sum = 0f;
        for (var v = 0; v < blocksV; v++)
        {
            var (r0, r1, fromV, toV) = LightMeter.Cut(v, blocksV, _surface.Rows);
            for (var u = 0; u < blocksU; u++)
            {
                var (c0, c1, fromU, toU) = LightMeter.Cut(u, blocksU, _surface.Columns);
                var luminance = BeamPhotometry.Luminance(_sums.Mean(c0, c1, r0, r1));
                var from = _surface.Origin + (_surface.EdgeU * ((fromU + toU) / 2)) + (_surface.EdgeV * ((fromV + toV) / 2));
                var to = from - point;
                var square = to.LengthSquared();
                var distance = MathF.Sqrt(square);
                var towards = to / distance;
                var cos = -Vector3.Dot(towards, _front);
                var share = luminance * _area * (toU - fromU) * (toV - fromV) / square * _meter.HazeOver(distance);
                steepness += share / distance;
                if (luminance <= 0 || cos <= 0 || (scene?.Blocked(point, from + (_front * LightMeter.Lift), exceptFixture: _surface.Fixture) ?? false))
                {
                    continue;
                }

                var lux = share * cos;
                sum += lux;
                vector += towards * lux;
            }
        }

        return sum;
    }
}
