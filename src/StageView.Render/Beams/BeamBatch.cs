using System.Numerics;
using StageView.Light;

namespace StageView.Render;

/// <summary>
/// The beams of one moment as the shaders take them: rows and edges by beam (<c>shaders/include/beam.glsl</c>), filled once a
/// frame. Hulls are made a view at a time by <see cref="BeamHulls"/>.
/// </summary>
internal sealed class BeamBatch
{
    /// <summary>Rows of four floats a beam; BEAM_ROWS in beam.glsl.</summary>
    public const int RowsPerBeam = 12;

    /// <summary>How far light is followed when nothing stops it, m.</summary>
    public const float Range = 200;

    private WebTable? _webs;
    private readonly Vector4[] _row = new Vector4[RowsPerBeam];

    public Growing<Vector4> Rows { get; } = new();

    public Growing<Vector4> Edges { get; } = new();

    public Growing<Item> Items { get; } = new();

    /// <param name="webs">Where the photometric webs lie.</param>
    public void Fill(Moment moment, BeamStops stops, WebTable webs)
    {
        _webs = webs;
        Rows.Clear();
        Edges.Clear();
        Items.Clear();
        var beams = moment.Beams.Span;
        for (var i = 0; i < beams.Length; i++)
        {
            Add(moment, beams[i], i, stops);
        }

        // An empty table can't be bound everywhere.
        if (Rows.Count == 0)
        {
            Rows.Add(Vector4.Zero);
        }

        if (Edges.Count == 0)
        {
            Edges.Add(Vector4.Zero);
        }
    }

    private void Add(Moment moment, in Beam beam, int index, BeamStops stops)
    {
        var profile = beam.Profile;
        var web = _webs!.Of(profile.Web);
        var omni = IsAllRound(profile);
        var (sin, cos) = MathF.SinCos(profile.CutoffRadians);
        var light = beam.Colour * beam.PeakCandela;
        if (!float.IsFinite(light.X + light.Y + light.Z))
        {
            return;
        }

        var firstEdge = Edges.Count;
        var edges = 0;
        Vector4 start;
        if (beam.Bounces > 0)
        {
            var window = moment.OutlineOf(beam.Clip);
            if (window.Length < 3)
            {
                return;
            }

            var face = moment.Mirrors.Span[moment.MirrorPaths.Span[beam.FirstPathMirror + beam.Bounces - 1]].Normal;
            start = PlaneThrough(face, window[0]);
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
                if (!omni && Vector3.Dot(n, beam.Axis) >= sin)
                {
                    continue;
                }

                Edges.Add(PlaneThrough(n, beam.Apex));
                edges++;
            }
        }
        else
        {
            start = omni ? Vector4.Zero : PlaneThrough(beam.Axis, beam.Apex + (beam.Axis * beam.StartDistance));
        }

        var stop = stops.Of(index);
        var end = stop.Plane;
        if (end == Vector4.Zero && !omni)
        {
            end = PlaneThrough(-beam.Axis, beam.Apex + (beam.Axis * Range));
        }

        var inner = InnerAngle(profile);
        var tanInner = MathF.Tan(inner);
        var gobo = beam.Gobo.Image > 0 && beam.Gobo.Image <= moment.GoboImages.Count && !omni;
        _row[0] = new Vector4(beam.Apex, cos * cos);
        _row[1] = new Vector4(beam.Axis, sin * sin);
        _row[2] = new Vector4(beam.Up, beam.Mirrored ? -1 : 1);
        _row[3] = new Vector4(light, beam.StartDistance);
        _row[4] = web is { } w ? new Vector4(w.Rows, 0, w.LastPolar, w.FirstRow) : new Vector4(-2 * MathF.Log2(profile.HalfBeamRadians), profile.Exponent * 0.5f, tanInner * tanInner, -1);
        _row[5] = start;
        _row[6] = end;
        _row[7] = new Vector4(firstEdge, edges, omni ? 1 : 0, gobo ? moment.GoboImages[beam.Gobo.Image - 1].Transmission : 1);
        _row[8] = gobo ? GoboRow(moment, beam) : new Vector4(-1, 0, 0, 0);
        _row[9] = new Vector4(beam.Gobo.OffsetX, beam.FocusDistance, beam.ApertureRadius, Math.Clamp(beam.Frost, 0, 1));
        _row[10] = _row[11] = Vector4.Zero;
        Items.Add(new Item(index, Rows.Count / RowsPerBeam, omni, gobo, stop.Shadowed, inner > 0 && web is null, web is not null, start, end));
        Rows.Add(_row);
    }

    /// <summary>True for sources without a cone to cut by: lamps that shine all round, and webs that reach sideways.</summary>
    public static bool IsAllRound(in AngularProfile profile) => profile.IsOmnidirectional || profile.CutoffRadians > 1.5533f;

    private static Vector4 GoboRow(Moment moment, in Beam beam)
    {
        var scale = MathF.Max(beam.Iris, 0.02f) / MathF.Tan(MathF.Min(beam.Profile.CutoffRadians, 1.55f));
        var (sin, cos) = MathF.SinCos(-beam.Gobo.RotationRadians);
        return new Vector4(beam.Gobo.Image - 1, scale, cos, sin);
    }

    /// <summary>Angle up to which a hard-edged profile is nearly flat (97 % of the axis), or 0 for a soft one, where one stretch of points is enough.</summary>
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

    public static Vector4 PlaneThrough(Vector3 normal, Vector3 point) => new(normal, -Vector3.Dot(normal, point));

    /// <param name="Beam">Index in <see cref="Moment.Beams"/>.</param>
    /// <param name="Number">Which group of rows is this beam's.</param>
    public readonly record struct Item(int Beam, int Number, bool Omni, bool Gobo, bool Shadowed, bool Hard, bool Web, Vector4 Start, Vector4 End);
}
