using System.Globalization;
using System.Numerics;
using System.Text;
using StageView.Light.Colour;
using StageView.Light.Geometry;

namespace StageView.Rig.Gdtf;

/// <summary>Values as DIN SPEC 15800 wants them written.</summary>
internal static class GdtfText
{
    /// <summary>Names may hold letters, digits and a few marks; a dot divides links.</summary>
    public static string Name(string name)
    {
        var b = new StringBuilder();
        foreach (var c in name)
        {
            b.Append(char.IsAsciiLetterOrDigit(c) || c is ' ' or '#' or '%' or '(' or ')' or '*' or '+' or '-' or '/' or ';' or '<' or '>' or '=' or '@' or '_'
                ? c : '-');
        }

        var clean = b.ToString().Trim();
        return clean.Length == 0 ? "unnamed" : clean;
    }

    public static string Number(float v) => v.ToString("0.########", CultureInfo.InvariantCulture);

    public static string Value(uint raw, int bytes) => string.Create(CultureInfo.InvariantCulture, $"{raw}/{bytes}");

    /// <summary>Row-major, column vectors, the translation (m) in the last column.</summary>
    public static string Matrix(in Pose p)
    {
        var (x, y, z) = (p.TransformDirection(Vector3.UnitX), p.TransformDirection(Vector3.UnitY), p.TransformDirection(Vector3.UnitZ));
        var at = p.Position;
        string Row(int i) => $"{{{Number(x[i])},{Number(y[i])},{Number(z[i])},{Number(at[i])}}}";
        return Row(0) + Row(1) + Row(2) + "{0,0,0,1}";
    }

    public static string Rotation(Quaternion q)
    {
        var (x, y, z) = (Vector3.Transform(Vector3.UnitX, q), Vector3.Transform(Vector3.UnitY, q), Vector3.Transform(Vector3.UnitZ, q));
        return $"{{{Number(x.X)},{Number(y.X)},{Number(z.X)}}}{{{Number(x.Y)},{Number(y.Y)},{Number(z.Y)}}}{{{Number(x.Z)},{Number(y.Z)},{Number(z.Z)}}}";
    }

    /// <summary>x, y and luminance in percent of a linear Rec.709 transmission.</summary>
    public static string Colour(Vector3 transmission)
    {
        var xyz = Chromaticity.Rec709ToXyz(transmission);
        var c = Chromaticity.FromXyz(xyz);
        return c == Vector2.Zero ? "0.3127,0.329,0" : $"{Number(c.X)},{Number(c.Y)},{Number(100 * xyz.Y)}";
    }
}
