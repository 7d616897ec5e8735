namespace StageView.Light.Geometry;

/// <summary>A turn about the origin, then a shift, in double precision: p becomes R p + shift.</summary>
/// <param name="W">Real part of the turn's unit quaternion.</param>
/// <param name="I">Its part along x.</param>
/// <param name="J">Its part along y.</param>
/// <param name="K">Its part along z.</param>
/// <param name="Shift">m.</param>
public readonly record struct RigidMotion(double W, double I, double J, double K, Vector3d Shift)
{
    public static RigidMotion Identity => new(1, 0, 0, 0, default);

    /// <summary>The angle it turns by, rad, 0 to π.</summary>
    public double Angle => 2 * Math.Atan2(Math.Sqrt((I * I) + (J * J) + (K * K)), Math.Abs(W));

    /// <summary>A turn about the direction of a vector by its length.</summary>
    /// <param name="centre">The point that it turns about, m.</param>
    /// <param name="turn">Axis and angle, rad.</param>
    /// <param name="shift">How far the centre goes then, m.</param>
    public static RigidMotion About(Vector3d centre, Vector3d turn, Vector3d shift)
    {
        var angle = turn.Length;
        var share = angle < 1e-12 ? .5 : Math.Sin(angle / 2) / angle;
        var motion = new RigidMotion(Math.Cos(angle / 2), turn.X * share, turn.Y * share, turn.Z * share, default).Normalized();
        return motion with { Shift = centre + shift - motion.Turn(centre) };
    }

    public Vector3d Turn(Vector3d v)
    {
        var axis = new Vector3d(I, J, K);
        var twice = Vector3d.Cross(axis, v) * 2;
        return v + (twice * W) + Vector3d.Cross(axis, twice);
    }

    public Vector3d Apply(Vector3d point) => Turn(point) + Shift;

    public RigidMotion Inverse()
    {
        var back = new RigidMotion(W, -I, -J, -K, default);
        return back with { Shift = back.Turn(Shift) * -1 };
    }

    /// <summary>What <paramref name="first"/> does, and then this.</summary>
    public RigidMotion After(RigidMotion first) => new RigidMotion(
        (W * first.W) - (I * first.I) - (J * first.J) - (K * first.K),
        (W * first.I) + (I * first.W) + (J * first.K) - (K * first.J),
        (W * first.J) - (I * first.K) + (J * first.W) + (K * first.I),
        (W * first.K) + (I * first.J) - (J * first.I) + (K * first.W),
        Apply(first.Shift)).Normalized();

    /// <summary>Its turn as <c>rotate</c> and <c>turn</c> of rig and venue files have it: degrees about the fixed x, then y, then z axis.</summary>
    public Vector3d Degrees() => DegreesOf(Turn(new Vector3d(1, 0, 0)), Turn(new Vector3d(0, 1, 0)), Turn(new Vector3d(0, 0, 1)));

    /// <summary>The same of a turn that is given by what it makes of the axes.</summary>
    public static Vector3d DegreesOf(Vector3d x, Vector3d y, Vector3d z)
    {
        // R = Rz·Ry·Rx with column vectors: r20 = -sin y, r21 = cos y sin x, r22 = cos y cos x, r10 = sin z cos y, r00 = cos z cos y.
        var sinY = Math.Clamp(-x.Z, -1, 1);
        var degrees = Math.Abs(sinY) > .9999999
            ? new Vector3d(0, Math.Asin(sinY), Math.Atan2(-y.X, y.Y))
            : new Vector3d(Math.Atan2(y.Z, z.Z), Math.Asin(sinY), Math.Atan2(x.Y, x.X));
        return degrees * (180 / Math.PI);
    }

    private RigidMotion Normalized()
    {
        var by = 1 / Math.Sqrt((W * W) + (I * I) + (J * J) + (K * K));
        return this with { W = W * by, I = I * by, J = J * by, K = K * by };
    }
}
