using System.Numerics;
using StageView.Light.Colour;

namespace StageView.Rig.Profiles;

/// <summary>What red, green and blue stand for where they are not emitters: XYZ of each at full, Y of all three together is 1.</summary>
public sealed record ColourSpace(string Name, Vector3 Red, Vector3 Green, Vector3 Blue)
{
    /// <summary>Primaries scaled so that all three at full give the white point (IEC 61966-2-1 and ITU-R BT.709 derive their matrices so).</summary>
    /// <returns>Null where the primaries lie on a line.</returns>
    public static ColourSpace? Of(string name, Vector2 red, Vector2 green, Vector2 blue, Vector2 white)
    {
        var (r, g, b) = (Chromaticity.ToXyz(red.X, red.Y), Chromaticity.ToXyz(green.X, green.Y), Chromaticity.ToXyz(blue.X, blue.Y));
        var w = Chromaticity.ToXyz(white.X, white.Y);
        var det = Vector3.Dot(r, Vector3.Cross(g, b));
        if (MathF.Abs(det) < 1e-9f || w == Vector3.Zero)
        {
            return null;
        }

        return new ColourSpace(
            name,
            r * (Vector3.Dot(w, Vector3.Cross(g, b)) / det),
            g * (Vector3.Dot(r, Vector3.Cross(w, b)) / det),
            b * (Vector3.Dot(r, Vector3.Cross(g, w)) / det));
    }

    /// <summary>The mix that gives an XYZ, by Cramer's rule; below 0 or above 1 where it can't be reached.</summary>
    public Vector3 Rgb(Vector3 xyz)
    {
        var det = Vector3.Dot(Red, Vector3.Cross(Green, Blue));
        return new Vector3(
            Vector3.Dot(xyz, Vector3.Cross(Green, Blue)), Vector3.Dot(Red, Vector3.Cross(xyz, Blue)), Vector3.Dot(Red, Vector3.Cross(Green, xyz))) / det;
    }

    /// <summary>XYZ of a mix.</summary>
    public Vector3 Xyz(Vector3 rgb) => (rgb.X * Red) + (rgb.Y * Green) + (rgb.Z * Blue);
}
