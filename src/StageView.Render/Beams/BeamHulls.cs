using System.Numerics;
using StageView.Render.Layout;
using StageView.Render.Resources;
using StageView.Render.Stops;
using StageView.Render.Views;

namespace StageView.Render.Beams;

/// <summary>
/// The hulls of <see cref="HullShapes"/> that a view can see, for fragments also as triangles: they are made only there, so cost follows lit pixels.
/// </summary>
internal sealed class BeamHulls
{
    /// <summary>An eye this near to a hull counts as inside, m: more than the corner of the near plane.</summary>
    private const float EyeMargin = 0.2f;

    /// <summary>What coarse light sees as a row of beads: a beam narrower than this halfway along, pixels.</summary>
    private const float Thin = 32;

    /// <summary>Lists of indices for each kind.</summary>
    public const int Lists = 5;

    private readonly OutlineTriangles _outline = new();
    private bool _indexed;

    public Growing<HullCorner> Corners { get; } = new();

    /// <summary>
    /// Index lists by <see cref="Kind"/>: first of hulls that the eye is outside of, then of those around it, then of thin ones, where these are apart, and
    /// then the outlines of the first and of the thin ones.
    /// </summary>
    public Growing<uint>[] Indices { get; } = [.. Enumerable.Range(0, Kinds * Lists).Select(_ => new Growing<uint>())];

    /// <summary>What <see cref="Corners"/> and <see cref="Indices"/> hold, a hull at a time.</summary>
    public Growing<Hull> Hulls { get; } = new();

    public const int Kinds = 512;

    public const int Omni = 1;
    public const int Shadowed = 2;
    public const int Gobo = 4;
    public const int Hard = 8;
    public const int Web = 16;
    public const int AfterMirror = 32;
    public const int Formed = 64;

    /// <summary>The bits of a kind that shaders differ by: those above.</summary>
    public const int ShaderBits = 127;

    private const int Part = 128;
    private const int Whole = 256;

    public static int Kind(in BeamBatch.Item item) =>
        (item.Omni ? Omni : 0) | (item.Shadowed ? Shadowed : 0) | (item.Gobo ? Gobo : 0) | (item.Hard ? Hard : 0) | (item.Web ? Web : 0)
        | (item.AfterMirror ? AfterMirror : 0) | (item.Formed ? Formed : 0)
        | (item.Use == ShapeUse.Part ? Part : 0) | (item.Use == ShapeUse.Whole ? Whole : 0);

    /// <summary>
    /// Whether a kind lights surfaces: of a lamp that shines all round the whole, which looks its shadows up by side, or its part through a mirror's window.
    /// </summary>
    public static bool OnSurfaces(int kind) => (kind & (AfterMirror | Whole)) != (AfterMirror | Whole) && (kind & (AfterMirror | Part)) != Part;

    /// <summary>Which variant of a shader lights surfaces for a kind.</summary>
    public static int SurfaceShader(int kind) =>
        (kind & Whole) != 0 ? Omni | Shadowed : (kind & (Omni | Shadowed)) == (Omni | Shadowed) ? kind & ShaderBits : kind & ShaderBits & ~AfterMirror;

    /// <summary>Whether a kind lights the haze.</summary>
    /// <param name="lampShadows">Lamps that shine all round cast shadows there.</param>
    public static bool InHaze(int kind, bool lampShadows) => (kind & (lampShadows ? Whole : Part)) == 0;

    /// <param name="batch">The beams' rows.</param>
    /// <param name="stops">Their shapes.</param>
    /// <param name="shapes">Their hulls.</param>
    /// <param name="view">Who looks.</param>
    /// <param name="withFaint">False leaves out all-round lamps after a mirror.</param>
    /// <param name="indexed">Also as triangles, for fragments.</param>
    /// <param name="coarse">Thin ones in lists of their own, and outlines.</param>
    public void Fill(BeamBatch batch, BeamStops stops, HullShapes shapes, View view, bool withFaint, bool indexed, bool coarse)
    {
        Corners.Clear();
        Hulls.Clear();
        foreach (var list in _indexed ? Indices : [])
        {
            list.Clear();
        }

        _indexed = indexed;

        // The cells of coarse haze reach over the area's edges.
        var seen = new ViewVolume(view, view.Around(8));
        var items = batch.Items.Span;
        for (var i = 0; i < items.Length; i++)
        {
            ref readonly var item = ref items[i];
            if (!withFaint && item.Omni && stops.Shapes[item.Shape].Beam.Bounces > 0)
            {
                continue;
            }

            var corners = shapes.Of(i, out var box);
            if (corners.Length == 0 || (!box && !seen.MayHold(corners)))
            {
                continue;
            }

            var first = Corners.Count;
            var own = Corners.AddMany(corners.Length);
            for (var k = 0; k < own.Length; k++)
            {
                own[k] = new HullCorner(corners[k], item.Number);
            }

            Hulls.Add(new Hull(Kind(item), first, box ? 0 : corners.Length / 2, item.Number));
            if (!indexed)
            {
                continue;
            }

            if (box)
            {
                AddBox(Indices[Kind(item) + Kinds], (uint)first);
            }
            else
            {
                var list = IsInside(item, stops.Shapes[item.Shape].HullApex, corners, view.Eye) ? Kinds : coarse && IsThin(corners, view) ? 2 * Kinds : 0;
                AddSides(Indices[Kind(item) + list], (uint)first, (uint)corners.Length / 2);
                var outlines = Kind(item) + (list == 0 ? 3 * Kinds : 4 * Kinds);
                if (coarse && list != Kinds && !_outline.TryAdd(Indices[outlines], (uint)first, corners, view))
                {
                    AddSides(Indices[outlines], (uint)first, (uint)corners.Length / 2);
                }
            }
        }
    }

    private static bool IsInside(in BeamBatch.Item item, Vector3 apex, ReadOnlySpan<Vector3> corners, Vector3 eye)
    {
        var inside = true;
        for (var i = 0; i < corners.Length; i += 2)
        {
            var n = Vector3.Cross(corners[i] - apex, corners[(i + 2) % corners.Length] - apex);
            var length = n.Length();
            if (length > 1e-12f)
            {
                inside &= Vector3.Dot(n / length, eye - apex) > -EyeMargin;
            }
        }

        return inside && HalfSpace.Height(item.Start, eye) > -EyeMargin && HalfSpace.Height(item.End, eye) > -EyeMargin;
    }

    private static bool IsThin(ReadOnlySpan<Vector3> corners, View view)
    {
        var middle = Vector3.Zero;
        foreach (var corner in corners)
        {
            middle += corner / corners.Length;
        }

        var radius = 0f;
        for (var i = 0; i < corners.Length; i += 2)
        {
            radius += ((corners[i] + corners[i + 1]) / 2 - middle).Length() * 2 / corners.Length;
        }

        return 2 * radius < Thin * view.PixelAngle * Vector3.Distance(middle, view.Eye);
    }

    private static void AddSides(Growing<uint> list, uint first, uint count)
    {
        for (uint i = 0; i < count; i++)
        {
            var j = (i + 1) % count;
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

    private static void AddBox(Growing<uint> list, uint first)
    {
        ReadOnlySpan<byte> faces = [0, 2, 3, 1, 4, 5, 7, 6, 0, 1, 5, 4, 2, 6, 7, 3, 0, 4, 6, 2, 1, 3, 7, 5];
        for (var f = 0; f < 24; f += 4)
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
