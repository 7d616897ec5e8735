using System.Xml.Linq;
using StageView.Rig.Archives;
using StageView.Rig.Profiles;

namespace StageView.Rig.Gdtf;

/// <summary>
/// Reads a DMX profile: Out(x) = CFC3 d³ + CFC2 d² + CFC1 d + CFC0 with d = x - DMXPercentage. The standard gives x in percent
/// and leaves the unit of Out open: percent is taken where Out goes beyond 1, shares otherwise, and shares for both where percent would go beyond 100.
/// </summary>
internal static class GdtfProfiles
{
    public static CubicCurve? Read(XElement profile)
    {
        var points = profile.Elements("Point").Take(1024)
            .Select(p => new CubicPiece(
                GdtfValues.Number(p.Attr("DMXPercentage"), 0), GdtfValues.Number(p.Attr("CFC0"), 0), GdtfValues.Number(p.Attr("CFC1"), 0),
                GdtfValues.Number(p.Attr("CFC2"), 0), GdtfValues.Number(p.Attr("CFC3"), 0)))
            .OrderBy(p => p.From).ToList();
        var percent = Most(points, 100);
        var (x, y) = percent <= 1.001f ? (100f, 1f) : percent <= 100.1f ? (100f, 100f) : (1f, 1f);
        var most = percent <= 100.1f ? percent : Most(points, 1);
        return points.Count == 0 || most <= 0 || (x == 1 && most > 1.001f)
            ? null
            : new CubicCurve(points.Select(p => new CubicPiece(p.From / x, p.C0 / y, p.C1 * x / y, p.C2 * x * x / y, p.C3 * x * x * x / y)));
    }

    /// <summary>The largest output for x up to <paramref name="end"/>.</summary>
    private static float Most(List<CubicPiece> points, float end)
    {
        var most = 0f;
        for (var i = 0; i <= 256; i++)
        {
            var x = end * i / 256;
            most = points.LastOrDefault(p => p.From <= x) is var p && points.Count > 0 && points[0].From <= x ? Math.Max(most, p.At(x)) : most;
        }

        return most;
    }
}
