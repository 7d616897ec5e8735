using System.Numerics;
using StageView.Ground.Numbers;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Render.Layout;
using StageView.Render.Resources;
using StageView.Render.Stops;

namespace StageView.Render.Beams;

/// <summary>
/// The beams of one moment as the shaders take them: rows and edges by beam, filled once a frame and written here alone. Hulls are made
/// by <see cref="HullShapes"/>.
/// </summary>
internal sealed class BeamBatch
{
    /// <summary>How far beyond a beam's end a surface may lie and still be lit, m; surfacelight.glsl has the same.</summary>
    private const float EndSlack = 0.002f;

    private WebTable? _webs;
    private readonly Growing<BeamRows> _rows = new();

    public ReadOnlySpan<BeamRows> Rows => _rows.Span;

    /// <summary>Half-spaces that beams are cut by (n, d); between them, what else a beam has of its own.</summary>
    public Growing<Vector4> Edges { get; } = new();

    public Growing<Item> Items { get; } = new();

    /// <param name="webs">Where the photometric webs lie.</param>
    public void Fill(Moment moment, BeamStops stops, WebTable webs)
    {
        _webs = webs;
        _rows.Clear();
        Edges.Clear();
        Items.Clear();
        var shapes = stops.Shapes;
        for (var i = 0; i < shapes.Length; i++)
        {
            Add(moment, shapes[i], i);
        }

        // An empty table can't be bound everywhere.
        if (_rows.Count == 0)
        {
            _rows.Add(new BeamRows());
        }

        if (Edges.Count == 0)
        {
            Edges.Add(Vector4.Zero);
        }
    }

    /// <summary>Tells where the shadows of an item lie.</summary>
    /// <param name="number">The item's.</param>
    /// <param name="place">In the atlas.</param>
    public void SetShadow(int number, in ShadowPlace place) => _rows.Span[number].Shadow = place;

    private void Add(Moment moment, in BeamShape shape, int number)
    {
        var beam = shape.Beam;
        ref readonly var source = ref moment.Beams.Span[shape.Index];
        var profile = source.Profile;
        var web = _webs!.Of(profile.Web);
        var omni = BeamShape.IsAllRound(profile);
        var (sin, cos) = Trig.SinCos(profile.CutoffRadians);
        var light = source.Colour * source.PeakCandela;
        if (!float.IsFinite(light.X + light.Y + light.Z))
        {
            return;
        }

        var firstEdge = Edges.Count;
        var (edges, soft, radius) = (0, 0, shape.SoftRadius);
        Vector4 start;
        if (beam.Bounces > 0)
        {
            var window = moment.OutlineOf(beam.Clip);
            if (window.Length < 3)
            {
                return;
            }

            var face = moment[moment.LastMirrorOf(beam)].Normal;
            start = HalfSpace.Through(face, window[0]);
            // Twin: LensShare, for the edges of the last mirror.
            var behind = MathF.Max(1e-3f, -HalfSpace.Height(start, beam.Apex));
            if (radius > 0)
            {
                Edges.Add(start * (radius / behind));
                firstEdge++;
            }

            for (var k = 0; k < window.Length; k++)
            {
                var n = Vector3.Cross(window[k] - beam.Apex, window[(k + 1) % window.Length] - beam.Apex);
                var length = n.Length();
                if (length < 1e-12f)
                {
                    continue;
                }

                n /= length;
                // A plane that the whole cone lies inside of cuts nothing.
                if (!omni && Vector3.Dot(n, beam.Axis) >= sin + (radius / behind))
                {
                    continue;
                }

                Edges.Add(HalfSpace.Through(n, beam.Apex));
                edges++;
            }

            soft = radius > 0 ? edges : 0;
        }
        else if (shape.IsSide)
        {
            Span<Vector3> rays = stackalloc Vector3[4];
            BeamShape.Rays(beam, rays);
            start = Vector4.Zero;
            for (; edges < 4; edges++)
            {
                Edges.Add(HalfSpace.Through(Vector3.Normalize(Vector3.Cross(rays[edges], rays[(edges + 1) % 4])), beam.Apex));
            }
        }
        else
        {
            start = omni ? Vector4.Zero : HalfSpace.Through(beam.Axis, beam.Apex + (beam.Axis * beam.StartDistance));
        }

        var stop = shape.Stop;
        var end = stop.Plane;
        if (end == Vector4.Zero && !omni)
        {
            end = HalfSpace.Through(-beam.Axis, beam.Apex + (beam.Axis * BeamShape.Range));
        }

        var formed = !omni && IsFormed(source);
        if (formed && web is null)
        {
            edges += AddForm(beam, profile);
        }

        var inner = formed ? 0 : InnerAngle(profile);
        var tanInner = Trig.Tan(inner);
        var gobo = beam.Gobo.Image > 0 && beam.Gobo.Image <= moment.GoboImages.Count && !omni;
        var rows = new BeamRows
        {
            Apex = beam.Apex,
            CosSquared = cos * cos,
            Axis = beam.Axis,
            SinSquared = sin * sin,
            Up = beam.Up,
            Hand = beam.Mirrored ? -1 : 1,
            Light = light,
            StartDistance = beam.StartDistance,
            Curve = web is { } w
                ? new BeamCurve { WebRows = w.Rows, WebLastColumn = w.LastColumn, WebLastPolar = w.LastPolar, WebFirstRow = w.FirstRow }
                : new BeamCurve
                {
                    Scale = -2 * MathF.Log2(profile.HalfBeamRadians),
                    HalfExponent = profile.Exponent * 0.5f,
                    InnerTanSquared = tanInner * tanInner,
                    WebFirstRow = -1,
                },
            Omni = omni ? 1 : 0,
            Transmission = gobo ? moment.GoboImages[beam.Gobo.Image - 1].Transmission : 1,
            GoboLayer = -1,
            FocusDistance = beam.FocusDistance,
            LensRadius = beam.ApertureRadius,
            NearSquared = beam.NearLength * beam.NearLength,
            NearCross = 4 * beam.NearSharpness * beam.NearSharpness * beam.NearLength * beam.NearLength,
            SoftEdges = soft,
            SoftRadius = radius,
            Frost = Math.Clamp(beam.Frost, 0, 1),
            FormRight = 1,
            FormUp = 1,
        };
        if (gobo)
        {
            Turn(ref rows, beam);
        }

        if (formed)
        {
            Form(moment, ref rows, beam, gobo);
        }

        var item = new Item(shape.Index, number, 0, shape.Use, omni, gobo, stop.Shadowed, inner > 0 && web is null, web is not null,
            omni && web is null && beam.Bounces > 0, formed, start, end, 0);
        if (stop.Shadowed && !omni && Begin(moment, beam) is var begin && stop.ClearTo > (1.2f * begin) + 0.3f)
        {
            // Before the first thing that stands in the beam no fragment has to look for shadows.
            var (first, count) = EdgesAgain(firstEdge, edges, soft > 0, end);
            Put(rows, item with { Shadowed = false, End = HalfSpace.Through(-beam.Axis, beam.Apex + (beam.Axis * stop.ClearTo)) }, first, count);
            item = item with { Start = HalfSpace.Through(beam.Axis, beam.Apex + (beam.Axis * stop.ClearTo)), From = stop.ClearTo };
        }

        Put(rows, item, firstEdge, edges);
    }

    private void Put(BeamRows rows, in Item item, int firstEdge, int edges)
    {
        (rows.Start, rows.End) = (item.Start, item.End);
        (rows.FirstEdge, rows.EdgeCount) = (firstEdge, edges);
        Items.Add(item with { Number = _rows.Count });
        _rows.Add(rows);
    }

    /// <summary>
    /// A beam's edges once more, and what ends it as one of them; moved on by what surfaces are given at a beam's end, so that all of a surface lies within
    /// that lies in it.
    /// </summary>
    private (int First, int Count) EdgesAgain(int firstEdge, int edges, bool soft, Vector4 end)
    {
        if (soft)
        {
            Edges.Add(Edges.Span[firstEdge - 1]);
        }

        var first = Edges.Count;
        for (var i = 0; i < edges; i++)
        {
            Edges.Add(Edges.Span[firstEdge + i]);
        }

        Edges.Add(end with { W = end.W + EndSlack });
        return (first, edges + 1);
    }

    /// <summary>Farthest distance along the axis at which a beam of its own begins, m.</summary>
    private static float Begin(Moment moment, in Beam beam)
    {
        if (beam.Bounces == 0)
        {
            return beam.StartDistance;
        }

        var farthest = 0f;
        foreach (var corner in moment.OutlineOf(beam.Clip))
        {
            farthest = MathF.Max(farthest, Vector3.Dot(corner - beam.Apex, beam.Axis));
        }

        return farthest;
    }

    /// <summary>The gobo's image, as it is turned and sized.</summary>
    private static void Turn(ref BeamRows rows, in Beam beam)
    {
        rows.GoboLayer = beam.Gobo.Image - 1;
        var radius = beam.Gobo.Radius > 0 ? beam.Gobo.Radius : 1;
        rows.GoboScale = GoboSampling.Scale(beam) / radius;
        rows.GoboOffset = beam.Gobo.OffsetX / radius;
        (rows.GoboSin, rows.GoboCos) = Trig.SinCos(-beam.Gobo.RotationRadians);
    }

    private static bool IsFormed(in Beam beam) => beam.Profile.Form != BeamForm.Round || beam.Blades.Count > 0 || beam.SecondGobo.Image > 0;

    /// <summary>Half-spaces around a beam that is no circle, in the table of edges; how many.</summary>
    private int AddForm(in Beam beam, in AngularProfile profile)
    {
        if (profile.Form == BeamForm.Round)
        {
            return 0;
        }

        var edge = profile.EdgeRadians;
        var apex = NearField.Outer(beam).Apex;
        foreach (var (across, angle) in ((Vector3, float)[])[(beam.Right, edge.X), (beam.Up, edge.Y)])
        {
            var (sin, cos) = Trig.SinCos(angle);
            Edges.Add(HalfSpace.Through((beam.Axis * sin) - (across * cos), apex));
            Edges.Add(HalfSpace.Through((beam.Axis * sin) + (across * cos), apex));
        }

        return 4;
    }

    /// <summary>What a beam has besides a round profile and one gobo.</summary>
    private void Form(Moment moment, ref BeamRows rows, in Beam beam, bool gobo)
    {
        if (beam.Profile.Form != BeamForm.Round)
        {
            (rows.FormRight, rows.FormUp) = (1 / (beam.Profile.Across.X * beam.Profile.Across.X), 1 / (beam.Profile.Across.Y * beam.Profile.Across.Y));
            rows.FormRectangle = beam.Profile.Form == BeamForm.Rectangle ? 1 : 0;
        }

        (rows.FirstExtra, rows.BladeCount) = (Edges.Count, beam.Blades.Count);
        (rows.Softness, rows.MostSoftness) = (beam.Blades.Softness, beam.Blades.MostSoftness);
        for (var i = 0; i < beam.Blades.Count; i++)
        {
            Edges.Add(new Vector4(beam.Blades[i], 0));
        }

        foreach (var more in (GoboState[])[beam.SecondGobo, beam.ThirdGobo])
        {
            if (!gobo || more.Image <= 0 || more.Image > moment.GoboImages.Count)
            {
                continue;
            }

            var radius = more.Radius > 0 ? more.Radius : 1;
            var scale = GoboSampling.Scale(beam) / radius;
            var (sin, cos) = Trig.SinCos(-more.RotationRadians);
            Edges.Add(new Vector4(cos * scale, sin * scale, cos * more.OffsetX / radius, sin * more.OffsetX / radius));
            Edges.Add(new Vector4(more.Image - 1, moment.GoboImages[more.Image - 1].Transmission, scale, 0));
            rows.MoreGobos++;
        }
    }

    /// <summary>Angle up to which a hard-edged profile is nearly flat (97 % of the axis), or 0 for a soft one, where one stretch of points is
    /// enough.</summary>
    private static float InnerAngle(in AngularProfile profile)
    {
        if (profile.Exponent < 3.5f)
        {
            return 0;
        }

        const float floor = AngularProfile.Floor;
        var k = -MathF.Log((0.97f * (1 - floor)) + floor) / AngularProfile.Knee;
        return profile.HalfBeamRadians * MathF.Pow(k, 1 / profile.Exponent);
    }

    /// <param name="Beam">Index in <see cref="Moment.Beams"/>.</param>
    /// <param name="Shape">Index in <see cref="BeamStops.Shapes"/>.</param>
    /// <param name="Number">Which group of rows is this beam's.</param>
    /// <param name="AfterMirror">A lamp that shines all round, seen in a mirror: its image lies behind the mirror, so no ray in front of it comes
    /// near.</param>
    /// <param name="Formed">No circle across, with blades or more than one gobo.</param>
    /// <param name="From">Distance along the axis at which this part of the beam begins, m; 0 for where the beam itself does.</param>
    public readonly record struct Item(int Beam, int Shape, int Number, ShapeUse Use, bool Omni, bool Gobo, bool Shadowed, bool Hard, bool Web,
        bool AfterMirror, bool Formed, Vector4 Start, Vector4 End, float From);
}
