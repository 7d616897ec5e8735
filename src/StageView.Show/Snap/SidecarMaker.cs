using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Snapshot.Frames;
using StageView.Stage;
using StageView.Stage.Programs;
using StageView.Stage.State;

namespace StageView.Show.Snap;

/// <summary>Writes down what is lit or moving in a frame.</summary>
internal static class SidecarMaker
{
    /// <summary>Records of every fixture that is lit or moving at a time.</summary>
    /// <param name="stage">The stage.</param>
    /// <param name="moment">What it makes of that time.</param>
    /// <param name="shutter">How long the camera's shutter was open.</param>
    /// <returns>Without where their light is seen, which each camera says for itself.</returns>
    public static IReadOnlyList<(FixtureIndex Fixture, FixtureRecord Record)> Fixtures(StageModel stage, Moment moment, TimeSpan shutter)
    {
        var lit = new HashSet<FixtureIndex>();
        foreach (ref readonly var beam in moment.Beams.Span)
        {
            lit.Add(beam.Fixture);
        }

        foreach (ref readonly var laser in moment.Lasers.Span)
        {
            lit.Add(laser.Fixture);
        }

        var mean = new Dictionary<FixtureIndex, (double Sum, int Count)>();
        foreach (ref readonly var s in moment.PixelSurfaces.Span)
        {
            var (sum, count) = mean.GetValueOrDefault(s.Fixture);
            foreach (ref readonly var p in moment.Pixels.Span.Slice(s.FirstPixel, s.Columns * s.Rows))
            {
                sum += (0.2126 * p.X) + (0.7152 * p.Y) + (0.0722 * p.Z);
                count++;
            }

            mean[s.Fixture] = (sum, count);
            if (sum > 0)
            {
                lit.Add(s.Fixture);
            }
        }

        var records = new List<(FixtureIndex, FixtureRecord)>();
        for (var i = 0; i < stage.Rig.Fixtures.Count; i++)
        {
            var fixture = new FixtureIndex(i);
            var state = stage.StateOf(fixture, moment.Time, shutter);
            var moving = state.Attributes.Any(a => a.ArrivesIn > 0.001);
            if (moving || lit.Contains(fixture))
            {
                records.Add((fixture, new FixtureRecord
                {
                    Name = state.Name, Lit = lit.Contains(fixture), Moving = moving, Attributes = [.. Attributes(state, mean.GetValueOrDefault(fixture))],
                }));
            }
        }

        return records;
    }

    private static IEnumerable<AttributeRecord> Attributes(FixtureState state, (double Sum, int Count) pixels)
    {
        var names = state.Attributes.CountBy(a => a.Attribute).ToDictionary();
        foreach (var a in state.Attributes.Where(a => a.IsSimulated && a.Attribute.Length > 0))
        {
            var name = names[a.Attribute] > 1 ? $"{a.Geometry} {a.Attribute}" : a.Attribute;
            var (value, unit) = Amount(a);
            // A slot of a wheel is told by its name alone.
            yield return a.Set.Length > 0 && a.Unit.Length == 0
                ? new AttributeRecord(name, null, "", a.Set)
                : new AttributeRecord(name, Math.Round(value, 3), unit, a.Set.Length > 0 ? a.Set : null);
        }

        foreach (var e in state.Emitters.Where(e => e.FluxLumens > 0))
        {
            var name = state.Emitters.Count > 1 ? e.Name + " " : "";
            yield return new AttributeRecord(name + "flux", Math.Round(e.FluxLumens, 1), "lm");
            yield return new AttributeRecord(name + "colour x", Math.Round(e.Chromaticity.X, 4));
            yield return new AttributeRecord(name + "colour y", Math.Round(e.Chromaticity.Y, 4));
        }

        if (pixels.Count > 0)
        {
            yield return new AttributeRecord("mean luminance", Math.Round(pixels.Sum / pixels.Count, 2), "cd/m2");
        }
    }

    /// <summary>A share is told in percent; distances and colour temperatures that have no unit of their own get theirs by their size.</summary>
    private static (double Value, string Unit) Amount(AttributeState a) => a switch
    {
        { Unit.Length: > 0 } => (a.Now, a.Unit),
        { Op: AttributeOp.ToOrange or AttributeOp.ToBlue, Now: > 1000 } => (a.Now, "K"),
        { Op: AttributeOp.Focus, Now: > 1 } => (a.Now, "m"),
        _ when Math.Abs(a.Now) <= 1.0001 => (100.0 * a.Now, "%"),
        _ => (a.Now, ""),
    };
}
