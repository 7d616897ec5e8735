using System.Numerics;
using StageView.Ground.Indices;
using StageView.Ground.Numbers;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Render.Aids;

namespace StageView.Show.Frames;

/// <summary>
/// Illuminance of what a camera sees, measured by <see cref="LightMeter"/>, point by point: the numbers of the lux verbs, not read off the picture.
/// </summary>
internal static class LuxView
{
    private const float Far = 500;

    /// <summary>Half as many points as pixels each way; the overlay's bands need no more.</summary>
    public static LuxImage Measure(Moment moment, OcclusionScene scene, Camera camera, FrameSize size)
    {
        var (width, height) = ((size.Width + 1) / 2, (size.Height + 1) / 2);
        var lux = new float[width * height];
        var meter = new LightMeter(moment, scene);
        var forward = Vector3.Normalize(camera.Target - camera.Position);
        var side = Vector3.Cross(forward, camera.Up);
        side = Vector3.Normalize(side.LengthSquared() > 1e-10f ? side : Vector3.Cross(forward, MathF.Abs(forward.Y) < 0.9f ? Vector3.UnitY : Vector3.UnitX));
        var up = Vector3.Cross(side, forward);
        var tangent = Trig.Tan(camera.VerticalFieldRadians * 0.5f);
        Parallel.For(0, height, y =>
        {
            for (var x = 0; x < width; x++)
            {
                var right = ((2 * (x + 0.5f) / width) - 1) * tangent * size.Width / size.Height;
                var rise = (1 - (2 * (y + 0.5f) / height)) * tangent;
                var ray = Vector3.Normalize(forward + (side * right) + (up * rise));
                lux[(y * width) + x] = scene.Closest(camera.Position, ray, Far, FixtureIndex.None, out var hit) && hit.Mirror.IsNone
                    ? meter.At(hit.Point, hit.Normal).Lux
                    : -1;
            }
        });
        return new LuxImage(width, height, lux);
    }
}
