using System.Numerics;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;

namespace StageView.Stage.Heads;

/// <summary>Pan and tilt that put a head's beam on a point.</summary>
public static class PanTilt
{
    /// <summary>Every way a fixture can hit <paramref name="target"/> within its travel, the least pan and tilt first.</summary>
    /// <param name="fixture">A fixture with a pan or a tilt axis above a beam or laser.</param>
    /// <param name="target">World point, m.</param>
    /// <param name="root">Where the fixture hangs, world; its own pose unless it is carried.</param>
    /// <remarks>
    /// For the usual head, R = Rz(pan)·Rx(tilt) turns -Z into (-sin p sin t, cos p sin t, -cos t): tilt = ±acos(-dz),
    /// pan = atan2(∓dx, ±dy), each pan again a whole turn away where the travel allows. Offsets between the axes and the
    /// lens are then taken out by Newton's method on the two angles off the line to the target.
    /// </remarks>
    public static IReadOnlyList<PanTiltSolution> Aim(Fixture fixture, Vector3 target, Pose? root = null)
    {
        var chain = HeadChain.Of(fixture, root ?? fixture.Pose);
        return chain is null ? [] : Aim(chain, fixture, target);
    }

    /// <summary>Lens position and direction of the beam at a pan and tilt, degrees; null for a fixture without axes.</summary>
    public static (Vector3 Position, Vector3 Direction)? Beam(Fixture fixture, double pan, double tilt, Pose? root = null) =>
        HeadChain.Of(fixture, root ?? fixture.Pose)?.Forward(pan, tilt);

    /// <summary>Whether a pan and tilt, degrees, lie within a fixture's travel and limits; false for one without axes.</summary>
    public static bool IsWithin(Fixture fixture, double pan, double tilt) =>
        HeadChain.Of(fixture, fixture.Pose) is { } chain && (chain.PanRange is { From: 0, To: 0 } || chain.PanRange.Contains(pan))
        && (chain.TiltRange is { From: 0, To: 0 } || chain.TiltRange.Contains(tilt));

    /// <summary>The pan and tilt within travel and limits whose beam comes nearest to a point, to a degree; null for a fixture without axes.</summary>
    public static PanTiltSolution? Nearest(Fixture fixture, Vector3 target, Pose root)
    {
        if (HeadChain.Of(fixture, root) is not { } chain)
        {
            return null;
        }

        var (best, least) = (default(PanTiltSolution), double.PositiveInfinity);
        Look(chain.PanRange.From, chain.PanRange.To, chain.TiltRange.From, chain.TiltRange.To, 6);
        Look(best.PanDegrees - 6, best.PanDegrees + 6, best.TiltDegrees - 6, best.TiltDegrees + 6, 1);
        return best;

        void Look(double panFrom, double panTo, double tiltFrom, double tiltTo, double step)
        {
            for (var p = panFrom; p <= panTo; p += step)
            {
                for (var t = tiltFrom; t <= tiltTo; t += step)
                {
                    var (pan, tilt) = (Math.Clamp(p, chain.PanRange.From, chain.PanRange.To), Math.Clamp(t, chain.TiltRange.From, chain.TiltRange.To));
                    var (e, f) = chain.Error(target, pan, tilt);
                    var (position, direction) = chain.Forward(pan, tilt);
                    var off = Vector3.Dot(direction, target - position) > 0 ? (e * e) + (f * f) : 1e6 + (e * e) + (f * f);
                    if (off < least)
                    {
                        (best, least) = (new PanTiltSolution((float)pan, (float)tilt, chain.Miss(target, pan, tilt)), off);
                    }
                }
            }
        }
    }

    /// <summary>
    /// Every way to turn a fixture's mirror so that light from one point goes to another by its middle: the normal halves the angle between the two (law of
    /// reflection).
    /// </summary>
    public static IReadOnlyList<PanTiltSolution> TurnMirror(Fixture fixture, Vector3 from, Vector3 to, Pose? root = null)
    {
        var chain = HeadChain.Of(fixture, root ?? fixture.Pose, true);
        if (chain is null)
        {
            return [];
        }

        List<PanTiltSolution> found = [];
        double pan = 0, tilt = 0;
        // The mirror's middle moves a little as it turns: settle it.
        for (var i = 0; i < 6; i++)
        {
            var middle = chain.Forward(pan, tilt).Position;
            var normal = Vector3.Normalize(Vector3.Normalize(from - middle) + Vector3.Normalize(to - middle));
            found = Aim(chain, fixture, middle + (normal * 50));
            if (found.Count == 0)
            {
                return found;
            }

            (pan, tilt) = (found[0].PanDegrees, found[0].TiltDegrees);
        }

        return found;
    }

    private static List<PanTiltSolution> Aim(HeadChain chain, Fixture fixture, Vector3 target)
    {
        var found = new List<PanTiltSolution>();
        foreach (var (p0, t0) in Seeds(chain, target))
        {
            var (pan, tilt) = Refine(chain, target, p0, t0);
            // Looking straight away from the target has no angular error either.
            if (double.IsNaN(pan) || chain.Miss(target, pan, tilt) > .05f)
            {
                continue;
            }

            for (var turn = -3; turn <= 3; turn++)
            {
                var p = pan + (360 * turn);
                for (var flip = -1; flip <= 1; flip++)
                {
                    var t = tilt + (360 * flip);
                    if (chain.PanRange.Contains(p) && chain.TiltRange.Contains(t)
                        && !found.Any(f => Math.Abs(f.PanDegrees - p) < .01 && Math.Abs(f.TiltDegrees - t) < .01))
                    {
                        found.Add(new PanTiltSolution((float)p, (float)t, chain.Miss(target, p, t)));
                    }
                }
            }
        }

        found.Sort((a, b) => (Math.Abs(a.PanDegrees) + Math.Abs(a.TiltDegrees)).CompareTo(Math.Abs(b.PanDegrees) + Math.Abs(b.TiltDegrees)));
        return found;
    }

    private static IEnumerable<(double Pan, double Tilt)> Seeds(HeadChain chain, Vector3 target)
    {
        if (chain.IsUsualHead)
        {
            var d = Vector3.Normalize(chain.ToPan(target));
            if (!float.IsNaN(d.X))
            {
                var tilt = Math.Acos(Math.Clamp(-d.Z, -1, 1)) * 180 / Math.PI;
                yield return (Math.Atan2(-d.X, d.Y) * 180 / Math.PI, tilt);
                yield return (Math.Atan2(d.X, -d.Y) * 180 / Math.PI, -tilt);
            }

            yield break;
        }

        for (var p = -180; p < 180; p += 30)
        {
            for (var t = -120; t <= 120; t += 40)
            {
                yield return (p, t);
            }
        }
    }

    private static (double Pan, double Tilt) Refine(HeadChain chain, Vector3 target, double pan, double tilt)
    {
        const double step = .05;
        for (var i = 0; i < 20; i++)
        {
            var (e, f) = chain.Error(target, pan, tilt);
            if ((e * e) + (f * f) < 1e-13)
            {
                return (pan, tilt);
            }

            var (e1, f1) = chain.Error(target, pan + step, tilt);
            var (e2, f2) = chain.Error(target, pan, tilt + step);
            double a = (e1 - e) / step, b = (e2 - e) / step, c = (f1 - f) / step, d = (f2 - f) / step;
            var det = (a * d) - (b * c);
            if (Math.Abs(det) < 1e-12)
            {
                // Straight below the pan axis: only the tilt counts.
                tilt -= Math.Clamp(((b * e) + (d * f)) / Math.Max(1e-12, (b * b) + (d * d)), -10, 10);
                continue;
            }

            pan -= Math.Clamp(((d * e) - (b * f)) / det, -20, 20);
            tilt -= Math.Clamp(((a * f) - (c * e)) / det, -20, 20);
        }

        return chain.Miss(target, pan, tilt) < .005f ? (pan, tilt) : (double.NaN, double.NaN);
    }
}
