namespace StageView.Stage.Motion;

/// <summary>
/// Motion of one axis in closed form from the moment its target last changed: from a position and a velocity, with
/// constant acceleration up to a top speed, to rest at the target; or to a steady speed. Positions in the axis's own
/// unit (degrees, metres, slots), seconds, and those per second.
/// </summary>
/// <remarks>
/// Accelerate, cruise, brake with one acceleration: the time-optimal move under both limits, uniformly accelerated
/// motion in each part (s = s0 + vt + at²/2). An acceleration of 0 means that speeds are reached at once, a top speed of
/// 0 that the target is.
/// </remarks>
public readonly record struct Travel
{
    private readonly double _start, _from, _speed, _accel1, _accel3, _t1, _t2, _t3, _cruise;

    private Travel(double start, double from, double speed, double accel1, double t1, double cruise, double t2, double accel3, double t3, double target,
        bool endless)
    {
        (_start, _from, _speed, _accel1, _t1, _cruise, _t2, _accel3, _t3) = (start, from, speed, accel1, t1, cruise, t2, accel3, t3);
        Target = target;
        IsEndless = endless;
    }

    /// <summary>Where it stops, or for endless turning its speed.</summary>
    public double Target { get; }

    /// <summary>Whether it turns on at a steady speed.</summary>
    public bool IsEndless { get; }

    /// <summary>When the target was set, s.</summary>
    public double StartSeconds => _start;

    /// <summary>When it has arrived and stopped, s; infinity for endless turning at a speed other than 0.</summary>
    public double ArrivalSeconds => !IsEndless ? _start + _t1 + _t2 + _t3 : Target != 0 ? double.PositiveInfinity : _start + _t1;

    /// <summary>Standing still at <paramref name="position"/>.</summary>
    public static Travel Rest(double at, double position) => new(at, position, 0, 0, 0, 0, 0, 0, 0, position, false);

    /// <summary>From a position and velocity at time <paramref name="at"/> to rest at <paramref name="target"/>.</summary>
    public static Travel To(double at, double position, double velocity, double target, double topSpeed, double acceleration)
    {
        if (topSpeed <= 0)
        {
            return Rest(at, target);
        }

        var distance = target - position;
        if (acceleration <= 0)
        {
            var seconds = Math.Abs(distance) / topSpeed;
            var steady = Math.Sign(distance) * topSpeed;
            return new(at, position, steady, 0, 0, steady, seconds, 0, 0, target, false);
        }

        // Braking at once from here would stop at distance v|v|/2a; the remaining way from there gives the sense of travel.
        var stop = velocity * Math.Abs(velocity) / (2 * acceleration);
        double sense = distance - stop >= 0 ? 1 : -1;
        var d = sense * distance;
        var v = sense * velocity;
        var peak = Math.Sqrt(Math.Max(0, (acceleration * d) + (v * v / 2)));
        if (v > topSpeed)
        {
            peak = topSpeed;
        }

        peak = Math.Min(peak, topSpeed);
        var t1 = Math.Abs(peak - v) / acceleration;
        var a1 = peak >= v ? acceleration : -acceleration;
        var t3 = peak / acceleration;
        var rest = d - ((v + peak) / 2 * t1) - (peak / 2 * t3);
        var t2 = peak > 0 ? Math.Max(0, rest / peak) : 0;
        return new(at, position, velocity, sense * a1, t1, sense * peak, t2, -sense * acceleration, t3, target, false);
    }

    /// <summary>From a position and velocity to a steady <paramref name="speed"/>, reached with <paramref name="acceleration"/>.</summary>
    public static Travel Endless(double at, double position, double velocity, double speed, double acceleration)
    {
        var t1 = acceleration > 0 ? Math.Abs(speed - velocity) / acceleration : 0;
        return new(at, position, velocity, Math.Sign(speed - velocity) * acceleration, t1, speed, double.PositiveInfinity, 0, 0, speed, true);
    }

    public double PositionAt(double at)
    {
        var t = at - _start;
        if (t <= 0)
        {
            return _from;
        }

        if (!IsEndless && t >= _t1 + _t2 + _t3)
        {
            return Target;
        }

        if (t <= _t1)
        {
            return _from + (_speed * t) + (_accel1 * t * t / 2);
        }

        var p = _from + (_speed * _t1) + (_accel1 * _t1 * _t1 / 2);
        t -= _t1;
        if (t <= _t2)
        {
            return p + (_cruise * t);
        }

        // From the end backwards, so that it lands on the target without a rounding step.
        var left = _t3 - (t - _t2);
        return Target + (_accel3 * left * left / 2);
    }

    public double VelocityAt(double at)
    {
        var t = at - _start;
        if (t < 0)
        {
            return 0;
        }

        if (!IsEndless && t >= _t1 + _t2 + _t3)
        {
            return 0;
        }

        return t < _t1 ? _speed + (_accel1 * t) : t <= _t1 + _t2 ? _cruise : _cruise + (_accel3 * (t - _t1 - _t2));
    }
}
