namespace StageView.Light.Geometry;

/// <summary>A point or direction in double precision, m or without unit.</summary>
public readonly record struct Vector3d(double X, double Y, double Z)
{
    public static Vector3d Zero => default;

    public double Length => Math.Sqrt(Dot(this, this));

    public Vector3d Unit => this * (1 / Length);

    public static Vector3d From(System.Numerics.Vector3 v) => new(v.X, v.Y, v.Z);

    public System.Numerics.Vector3 ToSingle() => new((float)X, (float)Y, (float)Z);

    public static double Dot(Vector3d a, Vector3d b) => (a.X * b.X) + (a.Y * b.Y) + (a.Z * b.Z);

    public static Vector3d Cross(Vector3d a, Vector3d b) =>
        new((a.Y * b.Z) - (a.Z * b.Y), (a.Z * b.X) - (a.X * b.Z), (a.X * b.Y) - (a.Y * b.X));

    /// <summary>The mean of some points; one at least.</summary>
    public static Vector3d Mean(IReadOnlyCollection<Vector3d> points)
    {
        var sum = Zero;
        foreach (var p in points)
        {
            sum += p;
        }

        return sum * (1.0 / points.Count);
    }

    public static Vector3d operator +(Vector3d a, Vector3d b) => new(a.X + b.X, a.Y + b.Y, a.Z + b.Z);

    public static Vector3d operator -(Vector3d a, Vector3d b) => new(a.X - b.X, a.Y - b.Y, a.Z - b.Z);

    public static Vector3d operator *(Vector3d v, double by) => new(v.X * by, v.Y * by, v.Z * by);
}
