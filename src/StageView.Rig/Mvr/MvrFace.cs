using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Profiles;

namespace StageView.Rig.Mvr;

/// <summary>The rectangle that a fixture's pixels fill, in the fixture's own coordinates at rest, seen from the front.</summary>
/// <param name="Corner">Top left, m.</param>
/// <param name="Across">From there along the top, m.</param>
/// <param name="Down">From there down, m.</param>
/// <param name="Luminance">Of its brightest pixels at full, cd/m².</param>
/// <param name="Moves">Whether an axis of the fixture moves any of them.</param>
internal sealed record MvrFace(Vector3 Corner, Vector3 Across, Vector3 Down, float Luminance, bool Moves)
{
    public const string NoPixels = "has no pixels";
    public const string NotFlat = "has pixels that are not on one plane";

    /// <summary>
    /// Pixels are grids and globes (GDTF beams that glow). Up is the +Y of the first of them, the front its -Z. Globes fill the rectangle around their middles
    /// and half their mean distance further on each side; where they stand in one line, their own radius across it.
    /// </summary>
    /// <returns>Null with <paramref name="why"/> set where they fill none.</returns>
    public static MvrFace? Of(FixtureMode mode, out string why)
    {
        var poses = new Pose[mode.Geometry.Count];
        var moving = new bool[poses.Length];
        Pose? first = null;
        var (low, high) = (new Vector2(float.MaxValue), new Vector2(float.MinValue));
        var globes = new List<Vector2>();
        var (radius, depth, luminance, flat, moves) = (0f, 0f, 0f, true, false);
        Vector2 Seen(Vector3 point)
        {
            var p = first!.Value.InverseTransformPoint(point);
            depth = MathF.Max(depth, MathF.Abs(p.Z));
            return new Vector2(-p.X, -p.Y);
        }

        foreach (var g in mode.Geometry)
        {
            var pose = poses[g.Index] = g.Parent < 0 ? g.Pose : poses[g.Parent].Compose(g.Pose);
            moving[g.Index] = g.Axis is not null || (g.Parent >= 0 && moving[g.Parent]);
            var globe = g.Pixels is { Shape: PixelShape.Globe } ball ? ball.Width / 2 : g.Pixels is null ? g.Beam?.GlobeRadius ?? 0 : 0;
            if (g.Pixels is null && globe <= 0)
            {
                continue;
            }

            first ??= pose;
            moves |= moving[g.Index];
            // A globe is Lambertian: L = Φ / 4π²r².
            luminance = MathF.Max(luminance, g.Pixels?.PeakLuminance ?? (g.Beam!.LuminousFlux / (4 * MathF.PI * MathF.PI * globe * globe)));
            if (globe > 0)
            {
                globes.Add(Seen(pose.Position));
                radius = MathF.Max(radius, globe);
                continue;
            }

            flat &= Vector3.Dot(pose.TransformDirection(Vector3.UnitZ), first.Value.TransformDirection(Vector3.UnitZ)) > .9999f;
            for (var k = 0; k < 4; k++)
            {
                var corner = Seen(pose.TransformPoint(new Vector3(((k & 1) - .5f) * g.Pixels!.Width, ((k >> 1) - .5f) * g.Pixels.Height, 0)));
                (low, high) = (Vector2.Min(low, corner), Vector2.Max(high, corner));
            }
        }

        if (globes.Count > 0)
        {
            var half = new Vector2(Half(globes.Select(p => p.X), radius), Half(globes.Select(p => p.Y), radius));
            foreach (var p in globes)
            {
                (low, high) = (Vector2.Min(low, p - half), Vector2.Max(high, p + half));
            }
        }

        var size = high - low;
        why = first is null ? NoPixels : !flat || depth > .002f + (.002f * MathF.Max(size.X, size.Y)) ? NotFlat : "";
        return why.Length > 0 ? null : new MvrFace(
            first!.Value.TransformPoint(new Vector3(-low, 0)), first.Value.TransformDirection(-Vector3.UnitX) * size.X,
            first.Value.TransformDirection(-Vector3.UnitY) * size.Y, luminance, moves);
    }

    /// <summary>Half the mean distance of places along an axis, those that are the same counted once.</summary>
    private static float Half(IEnumerable<float> places, float radius)
    {
        var sorted = places.Order().ToArray();
        var length = sorted[^1] - sorted[0];
        var steps = sorted.Zip(sorted.Skip(1)).Count(p => p.Second - p.First > 1e-4f + (1e-3f * length));
        return steps == 0 ? radius : length / steps / 2;
    }
}
