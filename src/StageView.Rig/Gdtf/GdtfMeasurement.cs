using System.Numerics;
using System.Xml.Linq;
using StageView.Light.Colour;
using StageView.Rig.Archives;

namespace StageView.Rig.Gdtf;

/// <summary>A Measurement of an emitter or a filter (DIN SPEC 15800): what comes out at a percentage.</summary>
/// <param name="At">Physical as a share, 0 to 1.</param>
/// <param name="Intensity">LuminousIntensity, cd, or 0.</param>
/// <param name="Transmission">As a share, or below 0 where it isn't stated.</param>
/// <param name="Interpolation">How values run from the measurement before.</param>
/// <param name="Points">Wavelength in nm and energy, rising; empty where none are given.</param>
internal sealed record GdtfMeasurement(float At, float Intensity, float Transmission, string Interpolation, Vector2[] Points)
{
    private const int MaxPoints = 10_000;
    private const int MaxMeasurements = 101;

    /// <summary>How many straight stretches stand for a logarithmic one.</summary>
    private const int LogSteps = 16;

    public Vector3 Xyz { get; } = Spectra.Xyz(Points);

    /// <summary>All measurements of an emitter or a filter, by rising percentage.</summary>
    public static List<GdtfMeasurement> Read(XElement holder) =>
        [.. holder.Elements("Measurement").Take(MaxMeasurements).Select(One).OrderBy(m => m.At)];

    /// <summary>
    /// Straight stretches for values that run to <paramref name="to"/> as this measurement's InterpolationTo says: Linear, Step (the
    /// earlier value holds until here), Log (the same ratio for equal steps).
    /// </summary>
    public IEnumerable<Vector2> Stretch(Vector2 from, Vector2 to)
    {
        if (Interpolation == "Step")
        {
            yield return new Vector2(Math.Max(from.X, to.X - 1e-5f), from.Y);
        }
        else if (Interpolation == "Log" && from.Y > 0 && to.Y > 0)
        {
            for (var i = 1; i < LogSteps; i++)
            {
                var s = i / (float)LogSteps;
                yield return new Vector2(float.Lerp(from.X, to.X, s), from.Y * MathF.Pow(to.Y / from.Y, s));
            }
        }

        yield return to;
    }

    private static GdtfMeasurement One(XElement m)
    {
        var points = m.Elements("MeasurementPoint").Take(MaxPoints)
            .Select(p => new Vector2(GdtfValues.Number(p.Attr("WaveLength"), 0), Math.Max(0, GdtfValues.Number(p.Attr("Energy"), 0))))
            .Where(p => p.X is > 100 and < 5000).OrderBy(p => p.X).ToArray();
        var transmission = GdtfValues.Number(m.Attr("Transmission"), -1);
        return new GdtfMeasurement(
            Math.Clamp(GdtfValues.Number(m.Attr("Physical"), 100) / 100, 0, 1),
            Math.Max(0, GdtfValues.Number(m.Attr("LuminousIntensity"), 0)),
            transmission > 1 ? Math.Min(1, transmission / 100) : transmission,
            m.Attr("InterpolationTo", "Linear"),
            points);
    }
}
