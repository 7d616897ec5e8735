using StageView.Light.Geometry;

namespace StageView.Stage.Survey;

/// <summary>How far a ray passes its mark, as two angles across it, and the same in standard deviations.</summary>
internal sealed class RayAngles
{
    private readonly SightedRay _ray;
    private readonly Vector3d _across;
    private readonly Vector3d _up;
    private readonly double[,] _factor;

    public RayAngles(SightedRay ray, AngleSpread spread)
    {
        _ray = ray;
        var d = ray.Direction;
        _across = Vector3d.Cross(Math.Abs(d.Z) < .9 ? new Vector3d(0, 0, 1) : new Vector3d(1, 0, 0), d).Unit;
        _up = Vector3d.Cross(d, _across);
        var (pan, tilt) = (On(ray.PerPan), On(ray.PerTilt));
        var (axis, eye) = (spread.Axis * spread.Axis, spread.Centring * spread.Centring);
        _factor = SymmetricMatrix.Cholesky(new[,]
        {
            { (axis * ((pan.Across * pan.Across) + (tilt.Across * tilt.Across))) + eye, axis * ((pan.Across * pan.Up) + (tilt.Across * tilt.Up)) },
            { axis * ((pan.Across * pan.Up) + (tilt.Across * tilt.Up)), (axis * ((pan.Up * pan.Up) + (tilt.Up * tilt.Up))) + eye },
        })!;
    }

    /// <summary>Angles from the ray to its mark, rad; up to π when it looks the other way.</summary>
    /// <param name="back">From the true place to that of the rig file.</param>
    public (double Across, double Up) Off(RigidMotion back)
    {
        var to = (back.Apply(_ray.Mark) - _ray.Origin).Unit;
        var (across, up) = On(to);
        var sine = Math.Sqrt((across * across) + (up * up));
        var angle = Math.Atan2(sine, Vector3d.Dot(_ray.Direction, to));
        var stretch = sine < 1e-12 ? 1 : angle / sine;
        return (across * stretch, up * stretch);
    }

    /// <summary>The same in standard deviations, without correlation.</summary>
    public (double First, double Second) Weighed(RigidMotion back)
    {
        var (across, up) = Off(back);
        var first = across / _factor[0, 0];
        return (first, (up - (_factor[1, 0] * first)) / _factor[1, 1]);
    }

    private (double Across, double Up) On(Vector3d v) => (Vector3d.Dot(v, _across), Vector3d.Dot(v, _up));
}
