using System.Numerics;
using StageView.Ground.Numbers;

namespace StageView.Light.Scans;

/// <summary>Where the scanners point at one sample.</summary>
/// <param name="X">Angle to the right, rad.</param>
/// <param name="Y">Angle upwards, rad.</param>
/// <param name="Share">Share of the laser's power on the way to this point, 0 (blanked) to 1.</param>
public readonly record struct ScanPoint(float X, float Y, float Share)
{
    public Vector2 Direction => new(X, Y);
}

/// <summary>A time in which a scanned beam lights a place.</summary>
/// <param name="Start">s from the pattern's first sample.</param>
/// <param name="Seconds">s.</param>
/// <param name="Share">Share of the laser's power.</param>
public readonly record struct ScanPass(double Start, double Seconds, double Share);

/// <summary>
/// A scanned figure: directions at a steady sample rate, gone through again and again. Between samples the beam moves evenly and with the power of the sample
/// it moves to; real scanners round corners and lag, so that edges and hot spots are worse than this.
/// </summary>
public sealed class LaserScan
{
    private readonly ScanPoint[] _points;
    private readonly Lazy<ScanRay[]> _rays;

    /// <param name="name">What it is called.</param>
    /// <param name="pointsPerSecond">Sample rate, 1/s.</param>
    /// <param name="points">At least one; blanked ones too.</param>
    public LaserScan(string name, double pointsPerSecond, IReadOnlyList<ScanPoint> points)
    {
        ArgumentNullException.ThrowIfNull(points);
        if (points.Count == 0 || !(pointsPerSecond is > 0 and <= 1e7))
        {
            throw new ArgumentException($"a scan of {points.Count} points at {pointsPerSecond} a second: it takes a point or more, a rate above 0 to 1e7");
        }

        foreach (var p in points)
        {
            if (!(MathF.Abs(p.X) < 1.5f && MathF.Abs(p.Y) < 1.5f && p.Share is >= 0 and <= 1))
            {
                throw new ArgumentException($"a scan point of {p.X}, {p.Y} rad with {p.Share} of the power: angles within 1.5 rad, shares within 0 to 1");
            }
        }

        (Name, PointsPerSecond, _points) = (name, pointsPerSecond, [.. points]);
        _rays = new Lazy<ScanRay[]>(() => ScanRays.Of(_points));
    }

    public string Name { get; }

    /// <summary>1/s.</summary>
    public double PointsPerSecond { get; }

    public IReadOnlyList<ScanPoint> Points => _points;

    /// <summary>The figure as rays that stand still, at most <see cref="ScanRays.Most"/>, with the shares of the power that they have on average.</summary>
    public IReadOnlyList<ScanRay> Rays => _rays.Value;

    /// <summary>Time of the whole pattern, s.</summary>
    public double FrameSeconds => _points.Length / PointsPerSecond;

    /// <summary>A circle.</summary>
    /// <param name="fullRadians">Full angle across, rad.</param>
    /// <param name="points">Samples a turn.</param>
    /// <param name="pointsPerSecond">1/s.</param>
    public static LaserScan Circle(float fullRadians, int points, double pointsPerSecond) =>
        new("circle", pointsPerSecond, [.. Enumerable.Range(0, points).Select(i =>
    {
        var (sin, cos) = Trig.SinCos(i * MathF.Tau / points);
        return new ScanPoint(cos * fullRadians / 2, sin * fullRadians / 2, 1);
    })]);

    /// <summary>A line from left to right, then back: lit both ways, or blanked on the way back.</summary>
    /// <param name="fullRadians">Full angle across, rad.</param>
    /// <param name="points">Samples one way, 2 or more.</param>
    /// <param name="pointsPerSecond">1/s.</param>
    /// <param name="litBack">Whether the way back is lit.</param>
    public static LaserScan Line(float fullRadians, int points, double pointsPerSecond, bool litBack = true)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(points, 2);
        var there = Enumerable.Range(0, points).Select(i => new ScanPoint(fullRadians * (((float)i / (points - 1)) - 0.5f), 0, 1));
        var back = Enumerable.Range(1, points - 2).Reverse().Select(i => new ScanPoint(fullRadians * (((float)i / (points - 1)) - 0.5f), 0, litBack ? 1 : 0));
        // The last step leads to the first point again.
        return new LaserScan("line", pointsPerSecond, [.. there.Select((p, i) => i == 0 ? p with { Share = litBack ? 1 : 0 } : p), .. back]);
    }

    /// <summary>A fan of single rays: the beam rests on each and is blanked between them.</summary>
    /// <param name="fullRadians">Full angle across, rad.</param>
    /// <param name="rays">How many.</param>
    /// <param name="rest">Samples on each ray.</param>
    /// <param name="travel">Blanked samples between rays.</param>
    /// <param name="pointsPerSecond">1/s.</param>
    public static LaserScan Fan(float fullRadians, int rays, int rest, int travel, double pointsPerSecond)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(rays, 1);
        ArgumentOutOfRangeException.ThrowIfLessThan(rest, 1);
        ArgumentOutOfRangeException.ThrowIfLessThan(travel, 1);
        var points = new List<ScanPoint>();
        for (var i = 0; i < rays; i++)
        {
            var x = rays == 1 ? 0 : fullRadians * (((float)i / (rays - 1)) - 0.5f);
            points.AddRange(Enumerable.Repeat(new ScanPoint(x, 0, 0), travel));
            points.AddRange(Enumerable.Repeat(new ScanPoint(x, 0, 1), rest));
        }

        return new LaserScan("fan", pointsPerSecond, points);
    }

    /// <summary>The times of one pattern in which the beam's middle is within an angle of a direction, by time.</summary>
    /// <param name="direction">rad right and up.</param>
    /// <param name="within">rad.</param>
    public IReadOnlyList<ScanPass> Passes(Vector2 direction, double within)
    {
        var passes = new List<ScanPass>();
        var step = 1 / PointsPerSecond;
        for (var i = 0; i < _points.Length; i++)
        {
            var to = _points[i];
            if (to.Share <= 0)
            {
                continue;
            }

            var from = _points[(i + _points.Length - 1) % _points.Length];
            if (!Within(from.Direction - direction, to.Direction - direction, within, out var t0, out var t1))
            {
                continue;
            }

            var pass = new ScanPass((i + t0) * step, (t1 - t0) * step, to.Share);
            if (passes.Count > 0 && passes[^1] is var last && last.Share == pass.Share && pass.Start - (last.Start + last.Seconds) < step * 1e-6)
            {
                passes[^1] = last with { Seconds = pass.Start + pass.Seconds - last.Start };
            }
            else
            {
                passes.Add(pass);
            }
        }

        // What runs over the pattern's end is one pass.
        if (passes.Count > 1 && passes[0].Start < step * 1e-6 && passes[0].Share == passes[^1].Share
            && FrameSeconds - passes[^1].Start - passes[^1].Seconds < step * 1e-6)
        {
            passes[^1] = passes[^1] with { Seconds = passes[^1].Seconds + passes[0].Seconds };
            passes.RemoveAt(0);
        }

        return passes;
    }

    /// <summary>The part of a segment inside a circle about the origin, as shares of it.</summary>
    private static bool Within(Vector2 a, Vector2 b, double radius, out double t0, out double t1)
    {
        (t0, t1) = (0, 1);
        double dx = b.X - a.X, dy = b.Y - a.Y;
        var (aa, ab, cc) = ((dx * dx) + (dy * dy), (a.X * dx) + (a.Y * dy), ((double)a.X * a.X) + ((double)a.Y * a.Y) - (radius * radius));
        if (aa < 1e-24)
        {
            return cc <= 0;
        }

        var d = (ab * ab) - (aa * cc);
        if (d <= 0)
        {
            return false;
        }

        var root = Math.Sqrt(d);
        (t0, t1) = (Math.Max(0, (-ab - root) / aa), Math.Min(1, (-ab + root) / aa));
        return t1 > t0;
    }
}
