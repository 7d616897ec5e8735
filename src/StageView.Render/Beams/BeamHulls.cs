using System.Numerics;
using StageView.Light;

namespace StageView.Render;

/// <summary>
/// Convex hulls around the beams that a view can see, as triangles: a frustum from the lens or the mirror's window to where the
/// light ends. Fragments are made only there, so cost follows lit pixels.
/// </summary>
internal sealed class BeamHulls
{
    /// <summary>Sides of the pyramid around a cone.</summary>
    private const int Sides = 10;

    /// <summary>Cones wider than this half-angle, rad, get a box instead of a pyramid.</summary>
    private const float Widest = 1.3f;

    /// <summary>An eye this near to a hull counts as inside, m: more than the corner of the near plane.</summary>
    private const float EyeMargin = 0.2f;

    private readonly Vector3[] _near = new Vector3[64];
    private readonly Vector3[] _far = new Vector3[64];
    private readonly Vector3[] _spare = new Vector3[64];
    private bool _indexed;

    /// <summary>xyz in world metres, w the number of the beam.</summary>
    public Growing<Vector4> Corners { get; } = new();

    /// <summary>Index lists by <see cref="Kind"/>; the first half of the kinds are hulls that the eye is outside of.</summary>
    public Growing<uint>[] Indices { get; } = [.. Enumerable.Range(0, Kinds * 2).Select(_ => new Growing<uint>())];

    /// <summary>What <see cref="Corners"/> and <see cref="Indices"/> hold, a hull at a time.</summary>
    public Growing<Hull> Hulls { get; } = new();

    public const int Kinds = 256;

    private const int Omni = 1;
    private const int Shadowed = 2;
    private const int AfterMirror = 32;
    private const int Part = 64;
    private const int Whole = 128;

    /// <summary>The bits of a kind that shaders differ by.</summary>
    public const int ShaderBits = 63;

    public static int Kind(in BeamBatch.Item item) => (item.Omni ? Omni : 0) | (item.Shadowed ? Shadowed : 0) | (item.Gobo ? 4 : 0) | (item.Hard ? 8 : 0) | (item.Web ? 16 : 0) | (item.AfterMirror ? AfterMirror : 0)
        | (item.Use == ShapeUse.Part ? Part : 0) | (item.Use == ShapeUse.Whole ? Whole : 0);

    /// <summary>Whether a kind lights surfaces: of a lamp that shines all round the whole, which looks its shadows up by side, or its part through a mirror's window.</summary>
    public static bool OnSurfaces(int kind) => (kind & (AfterMirror | Whole)) != (AfterMirror | Whole) && (kind & (AfterMirror | Part)) != Part;

    /// <summary>Which variant of a shader lights surfaces for a kind.</summary>
    public static int SurfaceShader(int kind) => (kind & Whole) != 0 ? Omni | Shadowed : (kind & (Omni | Shadowed)) == (Omni | Shadowed) ? kind & ShaderBits : kind & ShaderBits & ~AfterMirror;

    /// <summary>Whether a kind lights the haze.</summary>
    /// <param name="lampShadows">Lamps that shine all round cast shadows there.</param>
    public static bool InHaze(int kind, bool lampShadows) => (kind & (lampShadows ? Whole : Part)) == 0;

    /// <param name="moment">Its beams.</param>
    /// <param name="batch">Their rows.</param>
    /// <param name="stops">Their shapes.</param>
    /// <param name="view">Who looks.</param>
    /// <param name="withFaint">False leaves out all-round lamps after a mirror.</param>
    /// <param name="indexed">Also as triangles, for fragments.</param>
    public void Fill(Moment moment, BeamBatch batch, BeamStops stops, View view, bool withFaint, bool indexed)
    {
        Corners.Clear();
        Hulls.Clear();
        _indexed = indexed;
        foreach (var list in Indices)
        {
            list.Clear();
        }

        var shapes = stops.Shapes;
        foreach (ref readonly var item in batch.Items.Span)
        {
            if (withFaint || !item.Omni || shapes[item.Shape].Beam.Bounces == 0)
            {
                Add(moment, shapes[item.Shape], item, view);
            }
        }
    }

    private void Add(Moment moment, in BeamShape shape, in BeamBatch.Item item, View view)
    {
        var beam = shape.Beam;
        int count;
        var wide = item.Omni || beam.Profile.CutoffRadians > Widest;
        if (beam.Bounces > 0)
        {
            var window = moment.OutlineOf(beam.Clip);
            window.CopyTo(_near);
            count = window.Length;
            if (!wide)
            {
                count = CutByCone(beam, count);
            }

            for (var i = 0; item.From > 0 && i < count; i++)
            {
                var ray = _near[i] - beam.Apex;
                _near[i] = beam.Apex + (ray * (item.From / Vector3.Dot(ray, beam.Axis)));
            }
        }
        else if (shape.IsSide)
        {
            count = 4;
            BeamShape.Rays(beam, _near);
            for (var i = 0; i < count; i++)
            {
                // A little wide, so that no pixel falls between two sides; the planes part them.
                _near[i] = beam.Apex + (0.01f * (beam.Axis + (1.004f * (_near[i] - beam.Axis))));
            }
        }
        else if (wide)
        {
            Box(beam, item, view);
            return;
        }
        else
        {
            count = Sides;
            Ring(beam, MathF.Max(MathF.Max(beam.StartDistance, item.From), 1e-3f));
        }

        if (count < 3)
        {
            return;
        }

        var inside = true;
        for (var i = 0; i < count; i++)
        {
            var ray = _near[i] - beam.Apex;
            _far[i] = beam.Apex + (ray * Reach(beam, item, ray));
            var n = Vector3.Cross(ray, _near[(i + 1) % count] - beam.Apex);
            var length = n.Length();
            if (length > 1e-12f)
            {
                inside &= Vector3.Dot(n / length, view.Eye - beam.Apex) > -EyeMargin;
            }
        }

        inside &= Height(item.Start, view.Eye) > -EyeMargin && Height(item.End, view.Eye) > -EyeMargin;
        if (Hidden(view, count))
        {
            return;
        }

        var first = (uint)Corners.Count;
        for (var i = 0; i < count; i++)
        {
            Corners.Add(new Vector4(_near[i], item.Number));
            Corners.Add(new Vector4(_far[i], item.Number));
        }

        Hulls.Add(new Hull(Kind(item), (int)first, count, item.Number));
        var list = Indices[Kind(item) + (inside ? Kinds : 0)];
        for (uint i = 0; _indexed && i < count; i++)
        {
            var j = (i + 1) % (uint)count;
            var (ni, fi, nj, fj) = (first + (2 * i), first + (2 * i) + 1, first + (2 * j), first + (2 * j) + 1);
            Triangle(list, ni, nj, fj);
            Triangle(list, ni, fj, fi);
            if (i > 0 && j > 0)
            {
                Triangle(list, first, nj, ni);
                Triangle(list, first + 1, fi, fj);
            }
        }
    }

    private static float Height(Vector4 plane, Vector3 point) => plane == Vector4.Zero ? 1 : Vector3.Dot(new Vector3(plane.X, plane.Y, plane.Z), point) + plane.W;

    /// <summary>Factor on a ray (apex to near corner) at which it leaves the beam.</summary>
    private static float Reach(in Beam beam, in BeamBatch.Item item, Vector3 ray)
    {
        var end = item.End;
        if (end != Vector4.Zero)
        {
            var slope = Vector3.Dot(new Vector3(end.X, end.Y, end.Z), ray);
            if (slope < 0)
            {
                return MathF.Max(1, -Height(end, beam.Apex) / slope) * 1.0005f;
            }
        }

        return MathF.Max(1, BeamBatch.Range / ray.Length());
    }

    /// <summary>Regular polygon around the cone's section at a distance along the axis, right-hand about the axis.</summary>
    private void Ring(in Beam beam, float along)
    {
        var side = Vector3.Cross(beam.Axis, beam.Up);
        var radius = along * MathF.Tan(beam.Profile.CutoffRadians) / MathF.Cos(MathF.PI / Sides);
        var centre = beam.Apex + (beam.Axis * along);
        for (var i = 0; i < Sides; i++)
        {
            var (sin, cos) = MathF.SinCos(2 * MathF.PI * i / Sides);
            _near[i] = centre + (radius * ((beam.Up * cos) + (side * sin)));
        }
    }

    /// <summary>Cuts the window in <see cref="_near"/> by the pyramid around the cone.</summary>
    private int CutByCone(in Beam beam, int count)
    {
        var side = Vector3.Cross(beam.Axis, beam.Up);
        var (s, c) = MathF.SinCos(beam.Profile.CutoffRadians);
        for (var i = 0; i < Sides && count > 0; i++)
        {
            var (sin, cos) = MathF.SinCos(2 * MathF.PI * i / Sides);
            var radial = (beam.Up * cos) + (side * sin);
            count = Cut(count, BeamBatch.PlaneThrough((beam.Axis * s) - (radial * c), beam.Apex));
        }

        return count;
    }

    private int Cut(int count, Vector4 plane)
    {
        var kept = 0;
        var a = _near[count - 1];
        var da = Height(plane, a);
        for (var i = 0; i < count; i++)
        {
            var b = _near[i];
            var db = Height(plane, b);
            if (da >= 0 != db >= 0 && kept < _spare.Length)
            {
                _spare[kept++] = a + ((b - a) * (da / (da - db)));
            }

            if (db >= 0 && kept < _spare.Length)
            {
                _spare[kept++] = b;
            }

            (a, da) = (b, db);
        }

        _spare.AsSpan(0, kept).CopyTo(_near);
        return kept < 3 ? 0 : kept;
    }

    /// <summary>True when all corners lie outside one side of the view's area and the cells of coarse haze around it, or behind the mirror's face.</summary>
    private bool Hidden(View view, int count)
    {
        var (left, right, low, high) = view.Edges(view.Around(8));
        int outside = 63;
        for (var i = 0; i < count * 2; i++)
        {
            var p = i < count ? _near[i] : _far[i - count];
            var c = Vector4.Transform(new Vector4(p, 1), view.ViewProjection);
            var code = (c.X < left * c.W ? 1 : 0) | (c.X > right * c.W ? 2 : 0) | (c.Y < low * c.W ? 4 : 0) | (c.Y > high * c.W ? 8 : 0)
                | (c.W < View.Near ? 16 : 0) | (Vector4.Dot(view.Face, new Vector4(p, 1)) < 0 ? 32 : 0);
            outside &= code;
        }

        return outside != 0;
    }

    private void Box(in Beam beam, in BeamBatch.Item item, View view)
    {
        var first = (uint)Corners.Count;
        const float r = BeamBatch.Range;
        for (var i = 0; i < 8; i++)
        {
            var corner = new Vector3((i & 1) == 0 ? -r : r, (i & 2) == 0 ? -r : r, (i & 4) == 0 ? -r : r);
            Corners.Add(new Vector4(beam.Apex + corner, item.Number));
        }

        Hulls.Add(new Hull(Kind(item), (int)first, 0, item.Number));
        var list = Indices[Kind(item) + Kinds];
        ReadOnlySpan<byte> faces = [0, 2, 3, 1, 4, 5, 7, 6, 0, 1, 5, 4, 2, 6, 7, 3, 0, 4, 6, 2, 1, 3, 7, 5];
        for (var f = 0; _indexed && f < 24; f += 4)
        {
            Triangle(list, first + faces[f], first + faces[f + 1], first + faces[f + 2]);
            Triangle(list, first + faces[f], first + faces[f + 2], first + faces[f + 3]);
        }
    }

    private static void Triangle(Growing<uint> list, uint a, uint b, uint c)
    {
        list.Add(a);
        list.Add(b);
        list.Add(c);
    }

    /// <param name="Kind">Which variant of the shaders it needs.</param>
    /// <param name="FirstCorner">In <see cref="Corners"/>: a near and a far one in turn.</param>
    /// <param name="Pairs">Of corners; 0 for a box around the eye.</param>
    /// <param name="Number">Of the beam.</param>
    public readonly record struct Hull(int Kind, int FirstCorner, int Pairs, int Number);
}
