using System.Numerics;
using StageView.Light.Moments;
using StageView.Light.Photometry;

namespace StageView.Light.Beams;

/// <summary>
/// A picture in a beam's gate, as a projector has one: upright in the circle that the beam fills up to its cut-off, its corners on it. What it lets through is
/// each direction's share, as of a gobo (<see cref="GoboSampling"/>).
/// </summary>
public static class ThrownPicture
{
    /// <summary>Half the width and half the height of a picture in that circle of radius 1.</summary>
    /// <param name="aspect">Its width by its height, above 0.</param>
    public static Vector2 Half(float aspect) => Vector2.Normalize(new Vector2(aspect, 1));

    /// <summary>Draws it into a square.</summary>
    /// <param name="name">What it is called.</param>
    /// <param name="aspect">Its width by its height.</param>
    /// <param name="side">Pixels of the square a side.</param>
    /// <param name="mean">
    /// Linear light of a part of it, 0 to 1, given its left, top, right and bottom from 0 to 1 over the picture; what lies outside is black.
    /// </param>
    public static GoboImage Of(string name, float aspect, int side, Func<float, float, float, float, Vector3> mean)
    {
        ArgumentNullException.ThrowIfNull(mean);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(side);
        var half = Half(aspect);
        var rgb = new byte[3 * side * side];
        var (sum, count) = (0.0, 0);
        for (var y = 0; y < side; y++)
        {
            var (v0, v1) = (Across(y, half.Y), Across(y + 1, half.Y));
            for (var x = 0; x < side; x++)
            {
                var (u0, u1) = (Across(x, half.X), Across(x + 1, half.X));
                var light = u1 > 0 && u0 < 1 && v1 > 0 && v0 < 1 ? Vector3.Clamp(mean(u0, v0, u1, v1), Vector3.Zero, Vector3.One) : Vector3.Zero;
                for (var c = 0; c < 3; c++)
                {
                    rgb[(3 * ((y * side) + x)) + c] = (byte)((light[c] * 255) + 0.5f);
                }

                if (new Vector2(x + 0.5f - (side / 2f), y + 0.5f - (side / 2f)).LengthSquared() <= side * side / 4f)
                {
                    sum += BeamPhotometry.Luminance(light);
                    count++;
                }
            }
        }

        return new GoboImage { Name = name, Size = side, Rgb = rgb, Transmission = (float)(sum / count) };

        float Across(int i, float part) => ((((2f * i) / side) - 1) / part / 2) + 0.5f;
    }

    /// <summary>
    /// The share of a beam's flux that passes a white picture. Lumens of a projector are those of a white picture (common practice, no source), so its beam has
    /// them divided by this.
    /// </summary>
    /// <param name="profile">The beam's.</param>
    /// <param name="aspect">The picture's width by its height.</param>
    /// <param name="webs">What profiles refer to.</param>
    public static double WhiteShare(AngularProfile profile, float aspect, IReadOnlyList<PhotometricWeb> webs)
    {
        var moment = new Moment { GoboImages = [Of("white", aspect, 256, (u0, v0, u1, v1) => new Vector3(Part(u0, u1) * Part(v0, v1)))], Webs = webs };
        var beam = new Beam
        {
            Axis = Vector3.UnitY,
            Up = Vector3.UnitZ,
            Colour = Vector3.One,
            FluxLumens = 1,
            Profile = profile,
            Iris = 1,
            Gobo = new GoboState(1, 0, 0),
        };
        return BeamFlux.Passing(moment, beam);

        static float Part(float from, float to) => Math.Max(0, Math.Min(to, 1) - Math.Max(from, 0)) / (to - from);
    }
}
