using System.Numerics;
using SkiaSharp;
using StageView.Ground.Words;
using StageView.Light.Measure;
using StageView.Light.Moments;

namespace StageView.Render.Aids;

/// <summary>Beam axes and the places where beams land.</summary>
internal static class BeamMarks
{
    private const float FaintLux = 1;

    public static void Paint(AidPage page, in PictureProjection projection, AidInput input, bool axes, bool landings)
    {
        if (!axes && !landings)
        {
            return;
        }

        var moment = input.Moment;
        var beams = moment.Beams.Span;
        var lands = new Landing?[beams.Length];
        foreach (var landing in input.Landings)
        {
            if (!landing.Beam.IsNone && landing.Beam.Value < lands.Length)
            {
                lands[landing.Beam.Value] = landing;
            }
        }

        var chosen = Choose(page, moment, lands);
        foreach (var i in chosen)
        {
            if (axes && TryLeg(moment, beams[i], lands[i], out var from, out var to) && projection.TryLine(from, to, out var a, out var b))
            {
                page.Line(a, b, AidColours.OfLight(beams[i].Colour).WithAlpha(230), 1.3f * page.Unit, dashed: beams[i].Bounces > 0);
            }
        }

        if (!landings)
        {
            return;
        }

        // Marks first, numbers after, brightest first: no number may cover a mark.
        var numbers = new List<(float Lux, Vector2 At)>();
        foreach (var i in chosen)
        {
            if (lands[i] is { } landing && projection.TryPoint(landing.Point, out var at) && projection.Shows(at)
                && !page.Placer.Covers(new SKPoint(at.X, at.Y)))
            {
                Mark(page, at, AidColours.OfLight(beams[i].Colour), beams[i].Bounces > 0);
                page.Placer.Reserve(SKRect.Create(at.X - (5 * page.Unit), at.Y - (5 * page.Unit), 10 * page.Unit, 10 * page.Unit));
                if (landing.Mirror.IsNone)
                {
                    numbers.Add((landing.CentreLux, at));
                }
            }
        }

        foreach (var (lux, at) in numbers.OrderByDescending(n => n.Lux))
        {
            var text = Figures.Short(lux) + " lx";
            var size = page.PlateFor(text);
            if (page.Placer.TryPlace(new SKPoint(at.X, at.Y), size, out var rect))
            {
                page.Label(at, rect, AidColours.Ink, () => page.Plate(rect, text));
            }
        }
    }

    /// <summary>
    /// The beams that are drawn: the strongest of each fixture and way over the mirrors, so that a batten's cells or a prism's facets make one line; none that
    /// shines all round, and none that lands with less than <see cref="FaintLux"/>, which are counted.
    /// </summary>
    private static List<int> Choose(AidPage page, Moment moment, Landing?[] lands)
    {
        var beams = moment.Beams.Span;
        var strongest = new Dictionary<(int, long), int>();
        var faint = 0;
        for (var i = 0; i < beams.Length; i++)
        {
            ref readonly var beam = ref beams[i];
            if (beam.Profile.IsOmnidirectional)
            {
                continue;
            }

            if (lands[i] is { Mirror.IsNone: true, CentreLux: < FaintLux })
            {
                faint++;
                continue;
            }

            long way = 0;
            foreach (var mirror in moment.MirrorsOf(beam))
            {
                way = (way * 1000) + mirror.Value + 1;
            }

            var key = beam.Fixture.IsNone ? (-1 - i, way) : (beam.Fixture.Value, way);
            if (!strongest.TryGetValue(key, out var other) || beam.PeakCandela > beams[other].PeakCandela)
            {
                strongest[key] = i;
            }
        }

        if (faint > 0)
        {
            page.Notes.Add($"{Counted.Of(faint, "beam that lands", "beams that land")} with under {FaintLux} lx not marked");
        }

        return [.. strongest.Values.Order()];
    }

    private static void Mark(AidPage page, Vector2 at, SKColor colour, bool afterMirror)
    {
        var (reach, hole, u) = (9 * page.Unit, 2.5f * page.Unit, page.Unit);
        foreach (var d in new[] { Vector2.UnitX, -Vector2.UnitX, Vector2.UnitY, -Vector2.UnitY })
        {
            page.Line(at + (d * hole), at + (d * reach), colour, 1.3f * u);
        }

        if (afterMirror)
        {
            page.Box(SKRect.Create(at.X - (5.5f * u), at.Y - (5.5f * u), 11 * u, 11 * u), colour, 1.3f * u);
        }
        else
        {
            page.Ring(at, 5.5f * u, colour, 1.3f * u);
        }
    }

    /// <summary>The visible leg of a beam: from its lens or its last mirror to where it lands.</summary>
    internal static bool TryLeg(Moment moment, in Beam beam, Landing? landing, out Vector3 from, out Vector3 to)
    {
        var direction = landing is { } l && Vector3.DistanceSquared(l.Point, beam.Apex) > 1e-8f ? Vector3.Normalize(l.Point - beam.Apex) : beam.Axis;
        from = beam.Apex + (direction * beam.StartDistance);
        if (beam.Bounces > 0 && !beam.Clip.IsEmpty)
        {
            var mirror = moment[moment.LastMirrorOf(beam)];
            var slope = Vector3.Dot(direction, mirror.Normal);
            if (slope <= 1e-4f)
            {
                to = from;
                return false;
            }

            from = beam.Apex + (direction * (Vector3.Dot(moment.OutlineOf(beam.Clip)[0] - beam.Apex, mirror.Normal) / slope));
        }

        to = landing?.Point ?? from + (direction * AidPainter.OpenAxisMetres);
        return true;
    }
}
