using System.Numerics;

namespace StageView.Render.Output;

/// <summary>3 × 3 in doubles, row by row, for colour arithmetic.</summary>
internal readonly record struct Matrix3(
    double A, double B, double C, double D, double E, double F, double G, double H, double I)
{
    public static Matrix3 Identity => Diagonal(1, 1, 1);

    public static Matrix3 Diagonal(double a, double b, double c) => new(a, 0, 0, 0, b, 0, 0, 0, c);

    public Vector3 Row(int row) => row switch
    {
        0 => new((float)A, (float)B, (float)C),
        1 => new((float)D, (float)E, (float)F),
        _ => new((float)G, (float)H, (float)I),
    };

    public (double X, double Y, double Z) Times((double X, double Y, double Z) v) => (
        (A * v.X) + (B * v.Y) + (C * v.Z), (D * v.X) + (E * v.Y) + (F * v.Z), (G * v.X) + (H * v.Y) + (I * v.Z));

    public Matrix3 Times(in Matrix3 m)
    {
        var (x, y, z) = (Times((m.A, m.D, m.G)), Times((m.B, m.E, m.H)), Times((m.C, m.F, m.I)));
        return new(x.X, y.X, z.X, x.Y, y.Y, z.Y, x.Z, y.Z, z.Z);
    }

    public Matrix3 Inverse()
    {
        var (a, b, c) = ((E * I) - (F * H), (C * H) - (B * I), (B * F) - (C * E));
        var det = (A * a) + (D * b) + (G * c);
        return new(
            a / det, b / det, c / det,
            ((F * G) - (D * I)) / det, ((A * I) - (C * G)) / det, ((C * D) - (A * F)) / det,
            ((D * H) - (E * G)) / det, ((B * G) - (A * H)) / det, ((A * E) - (B * D)) / det);
    }
}
