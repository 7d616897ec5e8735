using System.Numerics;
using StageView.Light.Colour;
using StageView.Live.Terms;
using StageView.Render.Output;
using StageView.Rig.Pieces;
using StageView.Stage.State;

namespace StageView.Live.Shown;

/// <summary>What several fixtures do together, as the page shows it.</summary>
internal static class SeveralCards
{
    /// <summary>Less leaves a fixture only by rounding, lm.</summary>
    private const float Dark = .5f;

    /// <param name="now">What is on stage.</param>
    /// <param name="fixtures">Of its rig.</param>
    public static SeveralCard Of(OnStage now, IReadOnlyList<Fixture> fixtures)
    {
        var states = fixtures.Select(f => now.Model.StateOf(f.Index, now.At, ShownFeed.Shutter)).ToList();
        var lines = fixtures.Zip(states, Line).ToList();
        var held = now.AsIf.Select(l => (l.Fixture, l.Channel)).ToHashSet();
        var lit = lines.Where(l => l.Xy is not null).Select(l => Ucs(new Vector2(l.Xy![0], l.Xy[1]))).Distinct().ToList();
        return new SeveralCard(
            lines,
            [.. states.SelectMany(s => s.Attributes.Where(a => a.Attribute.Length > 0 && a.Addresses.Count > 0).Select(a => (s.Name, State: a)))
                .GroupBy(a => a.State.Attribute)
                .Select(g => Range(g.Key, [.. g.Select(a => a.State)], g.Select(a => a.Name).Distinct().Count(),
                    g.Any(a => held.Contains((a.Name, a.State.Channel)))))],
            Corner(lines, float.Min), Corner(lines, float.Max), Math.Round(lines.Sum(l => l.Lumens)),
            lit.Count == 0 ? null : Math.Round(lit.Max(a => lit.Max(b => Vector2.Distance(a, b))), 4));
    }

    /// <summary>u' and v' of the CIE 1976 uniform chromaticity scale (CIE 15): 4x/(−2x+12y+3), 9y/(−2x+12y+3).</summary>
    internal static Vector2 Ucs(Vector2 xy) => new Vector2(4 * xy.X, 9 * xy.Y) / ((-2 * xy.X) + (12 * xy.Y) + 3);

    private static SeveralFixture Line(Fixture fixture, FixtureState state)
    {
        var at = state.Emitters.Count > 0 ? state.Emitters[0].Position : fixture.Pose.Position;
        var lumens = state.Emitters.Sum(e => e.FluxLumens);
        var brightest = state.Emitters.MaxBy(e => e.FluxLumens);
        return lumens < Dark || brightest is null ? new SeveralFixture(fixture.Name, [at.X, at.Y, at.Z], 0, null, null)
            : new SeveralFixture(fixture.Name, [at.X, at.Y, at.Z], Math.Round(lumens), Hex(brightest.Chromaticity),
                [brightest.Chromaticity.X, brightest.Chromaticity.Y]);
    }

    private static SeveralAttribute Range(string name, IReadOnlyList<AttributeState> all, int fixtures, bool asIf)
    {
        static double Share(AttributeState a) => a.Raw / (double)Math.Max(1, a.Highest);
        static string Says(AttributeState a) => a.Set.Length > 0 ? a.Set : FixtureCards.Value(a, a.Target);
        var (low, high) = (all.MinBy(Share)!, all.MaxBy(Share)!);
        return new SeveralAttribute(name, fixtures, Math.Round(Share(low), 4), Math.Round(Share(high), 4), Says(low), Says(high), asIf);
    }

    private static float[] Corner(List<SeveralFixture> lines, Func<float, float, float> choose) =>
        lines.Count == 0 ? [0, 0, 0] : [.. Enumerable.Range(0, 3).Select(k => lines.Select(l => l.At[k]).Aggregate(choose))];

    private static string Hex(Vector2 xy)
    {
        var rgb = Vector3.Max(Vector3.Zero, Chromaticity.XyzToRec709(Chromaticity.ToXyz(xy.X, xy.Y)));
        rgb /= MathF.Max(1e-6f, MathF.Max(rgb.X, MathF.Max(rgb.Y, rgb.Z)));
        return $"#{Srgb.Encode8(rgb.X):x2}{Srgb.Encode8(rgb.Y):x2}{Srgb.Encode8(rgb.Z):x2}";
    }
}
