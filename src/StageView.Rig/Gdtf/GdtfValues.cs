using System.Globalization;
using System.Numerics;
using StageView.Light.Colour;
using StageView.Light.Geometry;
using StageView.Rig.Solids;

namespace StageView.Rig.Gdtf;

/// <summary>Values as DIN SPEC 15800 writes them.</summary>
internal static class GdtfValues
{
    /// <summary>Finite numbers only: <c>1e400</c> and <c>NaN</c> are not numbers here.</summary>
    public static float Number(string text, float fallback) =>
        double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out var v) && double.IsFinite(v) && Math.Abs(v) < 1e12
            ? (float)v : fallback;

    public static int Integer(string text, int fallback) =>
        int.TryParse(text, NumberStyles.AllowLeadingSign | NumberStyles.AllowLeadingWhite | NumberStyles.AllowTrailingWhite, CultureInfo.InvariantCulture,
            out var v) ? v : fallback;

    /// <summary>
    /// A DMXValue in <paramref name="width"/> bytes: "v/n" repeats its bytes to widen (255/1 is full in any width), "v/ns"
    /// shifts; narrowing keeps the high bytes. DIN SPEC 15800, DMXValue.
    /// </summary>
    public static uint? DmxValue(string text, int width)
    {
        var slash = text.IndexOf('/', StringComparison.Ordinal);
        var shift = text.EndsWith('s');
        var count = slash < 0 ? "1" : text[(slash + 1)..].TrimEnd('s');
        if (!uint.TryParse(slash < 0 ? text : text[..slash], NumberStyles.None, CultureInfo.InvariantCulture, out var v)
            || !int.TryParse(count, NumberStyles.None, CultureInfo.InvariantCulture, out var n) || n is < 1 or > 4
            || (n < 4 && v >= 1u << (8 * n)))
        {
            return null;
        }

        if (width <= n)
        {
            return v >> (8 * (n - width));
        }

        ulong wide = 0;
        for (var i = 0; i < width; i++)
        {
            var b = i < n ? (v >> (8 * (n - 1 - i))) & 255 : shift ? 0 : (v >> (8 * (n - 1 - (i % n)))) & 255;
            wide = (wide << 8) | b;
        }

        return (uint)wide;
    }

    /// <summary>A Matrix: four rows, column-vector maths, the translation (m) in the last column; scale is taken out.</summary>
    public static Pose? Matrix(string text)
    {
        var n = Numbers(text);
        if (n is null || n.Length is not (16 or 9))
        {
            return null;
        }

        var w = n.Length == 16 ? 4 : 3;
        Vector3 Column(int c) => new(n[c], n[w + c], n[(2 * w) + c]);
        var at = w == 4 ? Column(3) : Vector3.Zero;
        var (x, y, z) = (Column(0), Column(1), Column(2));
        if (x.Length() < 1e-6f || y.Length() < 1e-6f || Vector3.Cross(x, y).Length() < 1e-9f)
        {
            return null;
        }

        // Rounded text is not quite orthonormal: x is kept, y made square to it.
        x = Vector3.Normalize(x);
        var right = Vector3.Normalize(Vector3.Cross(x, y));
        if (Vector3.Dot(right, z) < 0)
        {
            right = -right;
            return new Pose(at, Turns.FromAxes(x, Vector3.Cross(right, x), right));
        }

        return new Pose(at, Turns.FromAxes(x, Vector3.Cross(right, x), right));
    }

    /// <summary>All numbers between braces, or null where one isn't.</summary>
    public static float[]? Numbers(string text, int most = 64)
    {
        var pieces = text.Split(['{', '}', ',', ' ', '\t', '\r', '\n'], StringSplitOptions.RemoveEmptyEntries);
        if (pieces.Length > most)
        {
            return null;
        }

        var values = new float[pieces.Length];
        for (var i = 0; i < pieces.Length; i++)
        {
            values[i] = Number(pieces[i], float.NaN);
            if (float.IsNaN(values[i]))
            {
                return null;
            }
        }

        return values;
    }

    /// <summary>A ColorCIE "x,y,Y".</summary>
    public static (float X, float Y, float Luminance)? Colour(string text) =>
        Numbers(text) is [var x, var y, var l] && y > 0 ? (x, y, l) : null;

    /// <summary>xyY relative to D65 white of luminance 100 as linear Rec.709, below zero cut off.</summary>
    public static Vector3 Transmission((float X, float Y, float Luminance) c)
    {
        return Vector3.Max(Vector3.Zero, Chromaticity.XyzToRec709(Chromaticity.ToXyz(c.X, c.Y, Math.Clamp(c.Luminance / 100, 0, 1))));
    }
}
