using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Moments;

namespace StageView.Rig.Solids;

/// <summary>A standing person of plain shapes, 1 m high with the feet at the origin, facing -y (the house); scale it to the height.</summary>
internal static class FigureMesh
{
    public static SceneMesh Make()
    {
        // Shares of the height of a standing adult after the eight-head canon of figure drawing (common practice, no source).
        var m = new MeshMaker();
        Ball(m, new(0, 0, .93f), new(.042f, .052f, .065f));
        Tube(m, new(0, 0, .82f), new(0, 0, .88f), .028f, .028f);
        Ball(m, new(0, 0, .715f), new(.105f, .062f, .115f));
        Ball(m, new(0, 0, .585f), new(.083f, .06f, .085f));
        foreach (var side in (ReadOnlySpan<float>)[-1, 1])
        {
            Tube(m, new(side * .052f, 0, .06f), new(side * .05f, 0, .54f), .03f, .05f);
            Ball(m, new(side * .055f, -.03f, .025f), new(.027f, .07f, .025f));
            Tube(m, new(side * .155f, -.02f, .58f), new(side * .115f, 0, .8f), .023f, .03f);
            Tube(m, new(side * .165f, -.06f, .44f), new(side * .155f, -.02f, .59f), .019f, .023f);
            Ball(m, new(side * .167f, -.07f, .41f), new(.02f, .025f, .04f));
        }

        return m.Make("figure");
    }

    private static void Ball(MeshMaker m, Vector3 centre, Vector3 radius)
    {
        const int Rings = 8;
        const int Sides = 12;
        static Vector3 P(int ring, int side)
        {
            var polar = MathF.PI * ring / Rings;
            var around = MathF.Tau * side / Sides;
            return new Vector3(Trig.Sin(polar) * Trig.Cos(around), Trig.Sin(polar) * Trig.Sin(around), Trig.Cos(polar));
        }

        for (var r = 0; r < Rings; r++)
        {
            for (var s = 0; s < Sides; s++)
            {
                Vector3[] u = [P(r + 1, s), P(r + 1, s + 1), P(r, s + 1), P(r, s)];
                Vector3[] n = [.. u.Select(v => Vector3.Normalize(v / radius))];
                m.Smooth([.. u.Select(v => centre + (v * radius))], n);
            }
        }
    }

    private static void Tube(MeshMaker m, Vector3 from, Vector3 to, float radiusFrom, float radiusTo)
    {
        const int Sides = 10;
        var turn = Turns.ZTo(Vector3.Normalize(to - from));
        for (var i = 0; i < Sides; i++)
        {
            var a = MathF.Tau * i / Sides;
            var b = MathF.Tau * (i + 1) / Sides;
            var na = Vector3.Transform(new Vector3(Trig.Cos(a), Trig.Sin(a), 0), turn);
            var nb = Vector3.Transform(new Vector3(Trig.Cos(b), Trig.Sin(b), 0), turn);
            m.Smooth([from + (na * radiusFrom), from + (nb * radiusFrom), to + (nb * radiusTo), to + (na * radiusTo)], [na, nb, nb, na]);
        }
    }
}
