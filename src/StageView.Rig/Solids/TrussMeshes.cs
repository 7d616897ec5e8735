using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Moments;

namespace StageView.Rig.Solids;

/// <summary>Structures made of bars along x, the origin in the middle: like their own reflection at x = 0.</summary>
internal static class TrussMeshes
{
    /// <summary>A square box truss: four chords with lacing on every face, about one bay a width.</summary>
    public static SceneMesh Box(float length, float width)
    {
        var m = new MeshMaker();
        var h = width / 2;
        var chord = MathF.Max(.03f, width * .16f);
        var lace = chord * .5f;
        Vector3[] corners = [new(0, -h, -h), new(0, h, -h), new(0, h, h), new(0, -h, h)];
        var bays = Math.Clamp((int)MathF.Round(length / MathF.Max(width * 1.4f, .2f)), 1, 200);
        var bay = length / bays;
        for (var c = 0; c < 4; c++)
        {
            var (a, b) = (corners[c], corners[(c + 1) % 4]);
            m.Bar(a, a + new Vector3(length, 0, 0), chord);
            for (var i = 0; i < bays; i++)
            {
                var x0 = new Vector3(i * bay, 0, 0);
                var x1 = new Vector3((i + 1) * bay, 0, 0);
                m.Bar((i & 1) == 0 ? a + x0 : b + x0, (i & 1) == 0 ? b + x1 : a + x1, lace);
            }

            m.Bar(a, b, lace);
            m.Bar(a + new Vector3(length, 0, 0), b + new Vector3(length, 0, 0), lace);
        }

        return m.Make("truss", new Vector3(-length / 2, 0, 0));
    }

    /// <summary>Two rails, <paramref name="width"/> apart along y, with a rung every half metre.</summary>
    public static SceneMesh Ladder(float length, float width)
    {
        var m = new MeshMaker();
        var h = new Vector3(0, width / 2, 0);
        var end = new Vector3(length, 0, 0);
        m.Bar(-h, end - h, .05f);
        m.Bar(h, end + h, .05f);
        var rungs = Math.Clamp((int)MathF.Round(length / .5f), 1, 400);
        for (var i = 0; i <= rungs; i++)
        {
            var x = new Vector3(length * i / rungs, 0, 0);
            m.Bar(x - h, x + h, .035f);
        }

        return m.Make("ladder", new Vector3(-length / 2, 0, 0));
    }

    /// <summary>A round pipe.</summary>
    public static SceneMesh Pipe(float length, float radius)
    {
        const int Sides = 12;
        var m = new MeshMaker();
        for (var i = 0; i < Sides; i++)
        {
            var a = MathF.Tau * i / Sides;
            var b = MathF.Tau * (i + 1) / Sides;
            var na = new Vector3(0, Trig.Cos(a), Trig.Sin(a));
            var nb = new Vector3(0, Trig.Cos(b), Trig.Sin(b));
            var end = new Vector3(length, 0, 0);
            m.Smooth([na * radius, nb * radius, (nb * radius) + end, (na * radius) + end], [na, nb, nb, na]);
        }

        return m.Make("pipe", new Vector3(-length / 2, 0, 0));
    }

    /// <summary>
    /// A structure bent about z into an arc with its middle towards +y, of straight pieces of 15 degrees or less, the origin in the arc's centre.
    /// </summary>
    /// <param name="straight">Makes a piece of a length along x, m.</param>
    /// <param name="radius">Of the arc through the pieces' middles, m.</param>
    /// <param name="degrees">How much of a circle, up to 360.</param>
    public static SceneMesh Bent(Func<float, SceneMesh> straight, float radius, float degrees)
    {
        var count = Math.Max(1, (int)MathF.Ceiling((degrees / 15) - 1e-3f));
        var step = degrees / count * MathF.PI / 180;

        // Joints lie on the circle.
        var piece = straight(2 * radius * Trig.Sin(step / 2));
        var (positions, normals, indices) = (new List<Vector3>(), new List<Vector3>(), new List<int>());
        for (var i = 0; i < count; i++)
        {
            var angle = ((i + .5f - (count / 2f)) * step) + (MathF.PI / 2);
            var turn = Trig.Turn(Vector3.UnitZ, angle + (MathF.PI / 2));
            var at = radius * Trig.Cos(step / 2) * new Vector3(Trig.Cos(angle), Trig.Sin(angle), 0);
            indices.AddRange(piece.Indices.Select(n => n + positions.Count));
            positions.AddRange(piece.Positions.Select(p => at + Vector3.Transform(p, turn)));
            normals.AddRange(piece.Normals.Select(n => Vector3.Transform(n, turn)));
        }

        return new SceneMesh
        {
            Name = piece.Name + " circle", Positions = [.. positions], Normals = [.. normals], Indices = [.. indices], PartVertices = piece.Positions.Length,
        };
    }
}
