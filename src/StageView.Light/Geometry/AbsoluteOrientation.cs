namespace StageView.Light.Geometry;

/// <summary>The rigid motion that brings points onto others.</summary>
public static class AbsoluteOrientation
{
    /// <summary>
    /// The motion with the least sum of squared distances, in closed form: Horn, "Closed-form solution of absolute orientation using unit quaternions",
    /// J. Opt. Soc. Am. A 4 (1987), 629-642. The turn is the eigenvector of the largest eigenvalue of his symmetric 4 by 4 matrix; no scale is taken.
    /// </summary>
    /// <param name="from">Three points at least that don't lie on one line, m.</param>
    /// <param name="onto">Where each of them shall come, m; as many.</param>
    public static RigidMotion Of(IReadOnlyList<Vector3d> from, IReadOnlyList<Vector3d> onto)
    {
        ArgumentNullException.ThrowIfNull(from);
        ArgumentNullException.ThrowIfNull(onto);
        var (a, b) = (Vector3d.Mean(from), Vector3d.Mean(onto));
        double xx = 0, xy = 0, xz = 0, yx = 0, yy = 0, yz = 0, zx = 0, zy = 0, zz = 0;
        for (var i = 0; i < from.Count; i++)
        {
            var (p, q) = (from[i] - a, onto[i] - b);
            (xx, xy, xz) = (xx + (p.X * q.X), xy + (p.X * q.Y), xz + (p.X * q.Z));
            (yx, yy, yz) = (yx + (p.Y * q.X), yy + (p.Y * q.Y), yz + (p.Y * q.Z));
            (zx, zy, zz) = (zx + (p.Z * q.X), zy + (p.Z * q.Y), zz + (p.Z * q.Z));
        }

        var (_, vectors) = SymmetricMatrix.Eigen(new[,]
        {
            { xx + yy + zz, yz - zy, zx - xz, xy - yx },
            { yz - zy, xx - yy - zz, xy + yx, zx + xz },
            { zx - xz, xy + yx, -xx + yy - zz, yz + zy },
            { xy - yx, zx + xz, yz + zy, -xx - yy + zz },
        });
        var turn = new RigidMotion(vectors[0, 0], vectors[1, 0], vectors[2, 0], vectors[3, 0], default);
        return turn with { Shift = b - turn.Turn(a) };
    }
}
