using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;

namespace StageView.Stage.Optics;

/// <summary>
/// Four framing blades, as their channels ask for them: 1 from the top, 2 from the right, 3 from below, 4 from the left, seen along the beam with its own up
/// on top (the order in which DIN SPEC 15800, annex A, Blade(n)A, names them). How far a value goes is a model of our own.
/// </summary>
internal struct BladeEdges
{
    /// <summary>How many blades there are.</summary>
    public const int Most = 4;

    /// <summary>How far the ends A and B are in, 0 out to 1 at the middle; B is below zero where a blade has no such end.</summary>
    private Vector4 _a, _b = new(-1);

    /// <summary>Turn of each blade, degrees.</summary>
    private Vector4 _turn;

    /// <summary>Turn of the whole assembly, degrees, from the beam's own +X towards its +Y.</summary>
    public float Assembly;

    public BladeEdges()
    {
    }

    /// <summary>Moves the end A of a blade, counted from 1; one beyond the fourth is left out.</summary>
    public void SetA(int number, float share) => Set(ref _a, number, Math.Clamp(share, 0, 1));

    public void SetB(int number, float share) => Set(ref _b, number, Math.Clamp(share, 0, 1));

    public void SetTurn(int number, float degrees) => Set(ref _turn, number, degrees);

    private static void Set(ref Vector4 of, int number, float value)
    {
        if (number is >= 1 and <= Most)
        {
            of[number - 1] = value;
        }
    }

    /// <summary>
    /// The blades that are in: each a line at distance 1 - insertion from the middle of the gate, whose rim is where the open beam ends. Ends that are in
    /// differently, and a blade's own turn, tilt that line.
    /// </summary>
    /// <param name="open">The beam without iris and frost.</param>
    /// <param name="hasFocus">Whether a focus says how soft edges are; else they are as soft as the beam's own.</param>
    /// <param name="blur">Half width that frost adds, rad.</param>
    public readonly Blades Of(in AngularProfile open, bool hasFocus, float blur)
    {
        if (_a == Vector4.Zero && Vector4.Max(_b, Vector4.Zero) == Vector4.Zero)
        {
            return default;
        }

        const float widest = 1.4f;
        var edge = open.EdgeRadians;
        var rim = new Vector2(Trig.Tan(MathF.Min(edge.X, widest)), Trig.Tan(MathF.Min(edge.Y, widest)));
        Span<Vector3> edges = stackalloc Vector3[Most];
        var count = 0;
        for (var i = 0; i < Most; i++)
        {
            var (a, b) = (_a[i], _b[i] < 0 ? _a[i] : _b[i]);
            if (a <= 0 && b <= 0)
            {
                continue;
            }

            // The blade lies across `out`; from its end A to B it runs clockwise, seen along the beam.
            var (sin, cos) = Trig.SinCos((90 - (90 * i) + Assembly) * Angles.RadiansPerDegree);
            var (outwards, clockwise) = (new Vector2(cos, sin), new Vector2(sin, -cos));
            var tilt = (b - a) / 2;
            var n = Vector2.Normalize(outwards + (clockwise * tilt));
            var d = (1 - ((a + b) / 2)) / MathF.Sqrt(1 + (tilt * tilt));
            (sin, cos) = Trig.SinCos(_turn[i] * Angles.RadiansPerDegree);
            n = new Vector2((n.X * cos) - (n.Y * sin), (n.X * sin) + (n.Y * cos)) / rim;
            edges[count++] = new Vector3(n, d) / n.Length();
        }

        // A tenth of the light, as at the field angle, is left .69 of an edge's half width beyond its middle.
        const float tenth = .69f;
        var (half, field) = (Trig.Tan(MathF.Min(open.HalfBeamRadians, widest)), Trig.Tan(MathF.Min(open.HalfFieldRadians, widest)));
        var own = hasFocus ? 0 : (field - half) / tenth;
        return new Blades(count, edges[0], edges[1], edges[2], edges[3], MathF.Min(own + Trig.Tan(blur), field), field);
    }
}
