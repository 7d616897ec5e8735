using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Moments;

namespace StageView.Light.Sampling;

/// <summary>
/// One of the N samples whose mean is a frame: a place in the pixel, a point of the camera's lens, a point of each fixture's lens and an instant of the open
/// shutter, from <see cref="Sobol"/> points, moved to the middles of their N parts. One alone is the middle of everything.
/// </summary>
/// <param name="Count">N.</param>
/// <param name="Instant">Which of N equal parts of the time that the shutter is open, from 0; samples come in this order.</param>
/// <param name="Pixel">Place in the pixel, 0 to 1, from its lower left.</param>
/// <param name="CameraLens">Point of the camera's lens, right and up, of radius 1.</param>
/// <param name="Beams">What the points of the fixtures' lenses are made from, 0 to 1.</param>
public readonly record struct FrameSample(int Count, int Instant, Vector2 Pixel, Vector2 CameraLens, Vector2 Beams)
{
    /// <summary>Most samples of one frame.</summary>
    public const int Most = 1024;

    /// <summary>The samples of a frame in the order of their instants.</summary>
    /// <param name="count">1 to <see cref="Most"/>.</param>
    public static IReadOnlyList<FrameSample> Of(int count)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(count, 1);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(count, Most);
        float Place(int point, int dimension)
        {
            var at = Sobol.At(point, dimension) + (0.5f / count);
            return at >= 1 ? at - 1 : at;
        }

        return
        [
            .. Enumerable.Range(0, count).OrderBy(i => Place(i, 4)).Select((i, instant) => new FrameSample(
                count, instant, new Vector2(Place(i, 0), Place(i, 1)), Disc(new Vector2(Place(i, 2), Place(i, 3))), new Vector2(Place(i, 5), Place(i, 6)))),
        ];
    }

    /// <summary>
    /// The point of a lens that this sample's light leaves from, of radius 1. Each fixture has the same points in another order, moved by multiples of the
    /// inverse plastic number and its square round the unit square (R. Cranley and T. N. L. Patterson, SIAM Journal on Numerical Analysis 13, 904, 1976).
    /// </summary>
    public Vector2 LensOf(in Beam beam)
    {
        if (Count == 1)
        {
            return Vector2.Zero;
        }

        var k = beam.Fixture.Value;
        var moved = Beams + new Vector2((float)(k * 0.7548776662466927 % 1), (float)(k * 0.5698402909980532 % 1));
        return Disc(new Vector2(moved.X - MathF.Floor(moved.X), moved.Y - MathF.Floor(moved.Y)));
    }

    /// <summary>The beam out of this sample's point of its lens: a point that sends out the whole profile. A lamp that shines all round stays.</summary>
    internal Beam Out(in Beam beam)
    {
        if (Count == 1 || beam.Profile.IsOmnidirectional)
        {
            return beam;
        }

        var at = LensOf(beam) * beam.ApertureRadius;
        return beam with { Apex = beam.Apex + (beam.Right * at.X) + (beam.Up * at.Y), NearLength = 0 };
    }

    /// <summary>The unit square on the unit disc, equal areas on equal areas (P. Shirley and K. Chiu, Journal of Graphics Tools 2, 45, 1997).</summary>
    private static Vector2 Disc(Vector2 square)
    {
        var (x, y) = ((2 * square.X) - 1, (2 * square.Y) - 1);
        if (x == 0 && y == 0)
        {
            return Vector2.Zero;
        }

        var wide = MathF.Abs(x) > MathF.Abs(y);
        var (radius, angle) = wide ? (x, MathF.PI / 4 * (y / x)) : (y, (MathF.PI / 2) - (MathF.PI / 4 * (x / y)));
        var (sin, cos) = Trig.SinCos(angle);
        return new Vector2(radius * cos, radius * sin);
    }
}
