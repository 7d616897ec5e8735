using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Light.Photometry;

namespace StageView.Light.Cautions.Volumes;

/// <summary>
/// Intensities that a beam exceeds nowhere within a cone of directions. They tend to the true intensity as the cone shrinks, for webs and gobos too.
/// </summary>
internal readonly struct IntensityBound
{
    private readonly Moment _moment;
    private readonly Beam _beam;
    private readonly PhotometricWeb? _web;
    private readonly GoboMaxima? _gobo;
    private readonly Vector3 _weights;

    public IntensityBound(Moment moment, in Beam beam)
    {
        _moment = moment;
        _beam = beam;
        _web = !beam.Profile.Web.IsNone && beam.Profile.Web.Value < moment.Webs.Count ? moment.Webs[beam.Profile.Web.Value] : null;
        _gobo = beam.Gobo.Image > 0 && beam.Gobo.Image <= moment.GoboImages.Count ? GoboMaxima.Of(moment.GoboImages[beam.Gobo.Image - 1]) : null;
        // A channel below zero (a colour outside the gamut) can only take light away when the gobo lets it through.
        _weights = Vector3.Max(beam.Colour, Vector3.Zero) * new Vector3(0.2126f, 0.7152f, 0.0722f);
        Peak = beam.PeakCandela * (_gobo is null ? BeamPhotometry.Luminance(beam.Colour) : Vector3.Dot(_weights, Vector3.One));
    }

    /// <summary>No direction has more, cd.</summary>
    public float Peak { get; }

    /// <summary>No direction within a cone has more, cd.</summary>
    /// <param name="middle">Unit vector along the cone's middle.</param>
    /// <param name="half">The cone's half angle, rad; π for every direction.</param>
    public float Over(Vector3 middle, float half)
    {
        var theta = Trig.Atan2(Vector3.Cross(middle, _beam.Axis).Length(), Vector3.Dot(middle, _beam.Axis));
        var (near, far) = (MathF.Max(0, theta - half), MathF.Min(MathF.PI, theta + half));
        float relative;
        if (_web is null)
        {
            relative = _beam.Profile.At(near);
        }
        else if (near > _beam.Profile.CutoffRadians)
        {
            return 0;
        }
        else
        {
            relative = OfWeb(_web, middle, theta, half, near, far);
        }

        if (relative <= 0)
        {
            return 0;
        }

        return _gobo is null ? Peak * relative : _beam.PeakCandela * relative * OfGobo(_gobo, middle, far);
    }

    private float OfWeb(PhotometricWeb web, Vector3 middle, float theta, float half, float near, float far)
    {
        var (polar, azimuth) = (web.PolarRadians, web.AzimuthRadians);
        var (first, last) = (LastAtMost(polar, near), LastAtMost(polar, far));
        var (low, high, from, planes) = (0f, 0f, 0, azimuth.Length);
        // A cone that holds neither pole spans asin(sin half / sin theta) of azimuth to either side.
        if (azimuth.Length > 1 && near > 0 && far < MathF.PI && half < MathF.PI / 2)
        {
            var spread = Trig.Asin(MathF.Min(1, Trig.Sin(half) / MathF.Max(Trig.Sin(theta), 1e-9f)));
            var at = Trig.Atan2(Vector3.Dot(middle, _beam.Up), Vector3.Dot(middle, _beam.Right));
            if (spread < MathF.PI / 2)
            {
                (low, high) = (Turned(at - spread), Turned(at + spread));
                var n = azimuth.Length;
                from = (LastAtMost(azimuth, low) + n) % n;
                // Planes from the one before the span to the one after it.
                planes = ((LastAtMost(azimuth, high) - from + n + n) % n) + 2;
            }
        }

        if (last - first <= 1 && ((planes <= 3 && high != low) || azimuth.Length == 1))
        {
            var inside = planes == 3 ? azimuth[(from + 1) % azimuth.Length] : high;
            var crossed = last > first ? polar[last] : far;
            return Between(web, [near, crossed, far], [low, inside, high]);
        }

        var count = Math.Min(azimuth.Length, planes);
        (first, last) = (Math.Max(0, first), Math.Min(polar.Length - 1, last + 1));
        if (count * (last - first + 1) > 1024)
        {
            return 1;
        }

        var most = 0f;
        for (var j = 0; j < count; j++)
        {
            foreach (var value in web.Relative.AsSpan(((from + j) % azimuth.Length * polar.Length) + first, last - first + 1))
            {
                most = MathF.Max(most, value);
            }
        }

        return most;
    }

    /// <summary>
    /// The exact maximum where a span meets at most one of the web's angles either way: bilinear, so it is taken at the span's ends or at those angles.
    /// </summary>
    private static float Between(PhotometricWeb web, ReadOnlySpan<float> polars, ReadOnlySpan<float> azimuths)
    {
        var most = 0.0;
        foreach (var polar in polars)
        {
            foreach (var azimuth in azimuths)
            {
                most = Math.Max(most, web.At(polar, azimuth));
            }
        }

        return (float)most;
    }

    private float OfGobo(GoboMaxima gobo, Vector3 middle, float far)
    {
        var along = Vector3.Dot(middle, _beam.Axis);
        if (along <= 0 || far > 1.5f)
        {
            return Vector3.Dot(_weights, Vector3.One);
        }

        // Outwards is where a cone's image on a plane reaches farthest.
        var gross = _beam.Gobo.Radius > 0 ? _beam.Gobo.Radius : 1;
        var scale = GoboSampling.Scale(_beam) / gross;
        var (right, up) = (Vector3.Dot(middle, _beam.Right) / along, Vector3.Dot(middle, _beam.Up) / along);
        var radius = (Trig.Tan(far) - MathF.Sqrt((right * right) + (up * up))) * scale;
        var (x, y) = ((right * scale) - (_beam.Gobo.OffsetX / gross), up * scale);
        var (sin, cos) = Trig.SinCos(-_beam.Gobo.RotationRadians);
        var sharp = gobo.Over((x * cos) - (y * sin), (x * sin) + (y * cos), MathF.Max(radius, 0));
        var mean = new Vector3(_moment.GoboImages[_beam.Gobo.Image - 1].Transmission);
        return Vector3.Dot(_weights, Vector3.Lerp(sharp, mean, Math.Clamp(_beam.Frost, 0, 1)));
    }

    private static float Turned(float angle) => angle - (MathF.Floor(angle / MathF.Tau) * MathF.Tau);

    /// <summary>Index of the last angle that is at most the one given, -1 when all are larger.</summary>
    private static int LastAtMost(float[] angles, float angle)
    {
        var at = Array.BinarySearch(angles, angle);
        return at >= 0 ? at : ~at - 1;
    }
}
