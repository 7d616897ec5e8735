using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Rays;

namespace StageView.Light.Cautions.Volumes;

/// <summary>A beam as the cone of its field angle: what of it reaches people or a lens.</summary>
/// <param name="Apex">Where the light seems to come from, m.</param>
/// <param name="Axis">Unit vector.</param>
/// <param name="HalfRadians">Half the field angle (10 % of the axis intensity), rad.</param>
/// <param name="Start">Distance from the apex to the lens, m.</param>
/// <param name="Fixture">What it comes from: its own body doesn't stand in the way.</param>
public readonly record struct FieldCone(Vector3 Apex, Vector3 Axis, float HalfRadians, float Start, FixtureIndex Fixture)
{
    /// <summary>Rings of rays that look for a way past obstacles.</summary>
    private const int Rings = 4;

    private const int Turns = 24;

    /// <summary>
    /// Whether the cone enters a box and nothing stands before all of what enters. That it meets the box is decided in closed form
    /// (<see cref="ConeMeeting"/>); that obstacles cover it, by 97 rays.
    /// </summary>
    /// <param name="scene">What stands in the way.</param>
    /// <param name="volume">The box.</param>
    /// <param name="point">Where it enters, m.</param>
    public bool Enters(OcclusionScene scene, WatchedVolume volume, out Vector3 point)
    {
        ArgumentNullException.ThrowIfNull(scene);
        ArgumentNullException.ThrowIfNull(volume);
        point = Apex;
        if (volume.Holds(Apex))
        {
            return true;
        }

        var (least, nearest) = (float.PositiveInfinity, Vector3.Zero);
        Span<Vector3> face = stackalloc Vector3[4];
        for (var axis = 0; axis < 3; axis++)
        {
            var (n, u, v) = (Unit(axis), Unit((axis + 1) % 3), Unit((axis + 2) % 3));
            var normal = volume.Pose.TransformDirection(n);
            foreach (var side in (ReadOnlySpan<float>)[-.5f, .5f])
            {
                for (var k = 0; k < 4; k++)
                {
                    var corner = (n * side) + (u * (k is 0 or 3 ? -.5f : .5f)) + (v * (k < 2 ? -.5f : .5f));
                    face[k] = volume.Pose.TransformPoint(corner * volume.Size);
                }

                var angle = ConeMeeting.Nearest(Apex, Axis, face, normal, out var at);
                if (angle < least || (angle <= least && Vector3.DistanceSquared(at, Apex) < Vector3.DistanceSquared(nearest, Apex)))
                {
                    (least, nearest) = (angle, at);
                }
            }
        }

        if (least >= HalfRadians)
        {
            return false;
        }

        if (Reaches(scene, nearest))
        {
            point = nearest;
            return true;
        }

        var side1 = Vector3.Normalize(Vector3.Cross(Axis, MathF.Abs(Axis.Z) < .9f ? Vector3.UnitZ : Vector3.UnitX));
        var side2 = Vector3.Cross(Axis, side1);
        for (var ring = 0; ring <= Rings; ring++)
        {
            var (sin, cos) = Trig.SinCos(HalfRadians * ring / Rings);
            for (var turn = 0; turn < (ring == 0 ? 1 : Turns); turn++)
            {
                var (s, c) = Trig.SinCos(MathF.Tau * turn / Turns);
                var direction = (Axis * cos) + (((side1 * c) + (side2 * s)) * sin);
                if (volume.Crossing(Apex, direction, 1000, 0, out var from, out _) && Reaches(scene, Apex + (direction * from)))
                {
                    point = Apex + (direction * from);
                    return true;
                }
            }
        }

        return false;
    }

    /// <summary>Whether a lens is seen within the field angle and some more, and nothing stands between.</summary>
    /// <param name="scene">What stands in the way.</param>
    /// <param name="lens">m.</param>
    /// <param name="moreRadians">rad, 0 or more.</param>
    public bool Dazzles(OcclusionScene scene, Vector3 lens, float moreRadians)
    {
        ArgumentNullException.ThrowIfNull(scene);
        return ConeMeeting.Angle(lens - Apex, Axis) < HalfRadians + moreRadians && Reaches(scene, lens);
    }

    private static Vector3 Unit(int axis) => axis switch { 0 => Vector3.UnitX, 1 => Vector3.UnitY, _ => Vector3.UnitZ };

    private bool Reaches(OcclusionScene scene, Vector3 point)
    {
        var to = point - Apex;
        var length = to.Length();
        return length > Start && !scene.Blocked(Apex + (to * (Start / length)), point, Fixture, MirrorIndex.None, MirrorIndex.None, 1e-3f);
    }
}
