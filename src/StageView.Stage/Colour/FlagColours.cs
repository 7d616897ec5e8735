using System.Numerics;
using StageView.Light.Colour;
using StageView.Rig.Profiles;

namespace StageView.Stage.Colour;

/// <summary>
/// What cyan, magenta, yellow and colour-temperature flags leave of a source's light. Partly inserted, a flag passes
/// 1 - a(1 - T(λ)); the flags' product is therefore linear in each insertion, and interpolating between the sixteen
/// fully-in-or-out corners, each integrated in 10 nm bands, is exact.
/// </summary>
/// <remarks>The source is taken as Planckian at its colour temperature where the profile holds no spectrum. The filters' edges are our own generic dichroic
/// curves.</remarks>
public sealed class FlagColours
{
    private const float Open = .92f, Leak = .004f, EdgeNanometres = 7;
    private const int Steps = 64;
    private const float LeastMired = 40, MostMired = 600;
    private readonly Vector3[] _corners = new Vector3[16];
    private readonly float[] _losses = new float[Steps + 1];

    /// <param name="kelvin">Colour temperature of open white, K.</param>
    /// <param name="flagKelvin">What a fully inserted temperature flag brings it to, K.</param>
    /// <param name="light">The source where more than its temperature is known.</param>
    /// <param name="filters">Measured transmissions of the cyan, magenta, yellow and temperature flags in 10 nm bands; null for the generic one.</param>
    public FlagColours(float kelvin, float flagKelvin, LightSource? light = null, IReadOnlyList<float[]?>? filters = null)
    {
        var white = 0.0;
        Span<double> source = stackalloc double[CieObserver.Count];
        Span<double> ideal = stackalloc double[CieObserver.Count];
        Span<double> flag = stackalloc double[CieObserver.Count];
        var most = 0.0;
        for (var i = 0; i < CieObserver.Count; i++)
        {
            var nm = CieObserver.Nanometres(i);
            var black = Planckian.Spectrum(kelvin, nm);
            ideal[i] = black;
            source[i] = light?.Bands is { } bands ? bands[i] : black;
            flag[i] = Planckian.Spectrum(flagKelvin, nm) / black;
            most = nm is >= 400 and <= 700 ? Math.Max(most, flag[i]) : most;
            white += source[i] * CieObserver.Row(i).Y;
        }

        for (var corner = 0; corner < 16; corner++)
        {
            double x = 0, y = 0, z = 0;
            for (var i = 0; i < CieObserver.Count; i++)
            {
                var nm = CieObserver.Nanometres(i);
                var v = source[i] / white;
                v *= (corner & 1) != 0 ? filters?[0]?[i] ?? Cyan(nm) : 1;
                v *= (corner & 2) != 0 ? filters?[1]?[i] ?? Magenta(nm) : 1;
                v *= (corner & 4) != 0 ? filters?[2]?[i] ?? Yellow(nm) : 1;
                v *= (corner & 8) != 0 ? filters?[3]?[i] ?? Math.Min(1, flag[i] / most) : 1;
                var row = CieObserver.Row(i);
                x += v * row.X;
                y += v * row.Y;
                z += v * row.Z;
            }

            _corners[corner] = new Vector3((float)x, (float)y, (float)z);
        }

        if (light is { Bands: null })
        {
            // Only the chromaticity is known: the black body's spectrum stands in, its open white is moved to what is stated.
            var open = Chromaticity.ToXyz(light.Chromaticity.X, light.Chromaticity.Y) / _corners[0];
            for (var corner = 0; corner < 16; corner++)
            {
                _corners[corner] *= open;
            }
        }

        for (var i = 0; i <= Steps; i++)
        {
            _losses[i] = IdealTransmission(ideal, 1e6 / float.Lerp(LeastMired, MostMired, i / (float)Steps));
        }
    }

    /// <summary>Luminous transmission of the most open filter that turns the source's spectrum into a Planckian one of <paramref name="kelvin"/>.</summary>
    public float TransmissionTo(float kelvin)
    {
        var f = Math.Clamp(((1e6f / kelvin) - LeastMired) / (MostMired - LeastMired), 0, 1) * Steps;
        var i = Math.Min((int)f, Steps - 1);
        return float.Lerp(_losses[i], _losses[i + 1], f - i);
    }

    private static float IdealTransmission(ReadOnlySpan<double> source, double kelvin)
    {
        double most = 0, passed = 0, all = 0;
        for (var i = 0; i < CieObserver.Count; i++)
        {
            var nm = CieObserver.Nanometres(i);
            var to = Planckian.Spectrum(kelvin, nm);
            most = nm is >= 400 and <= 700 ? Math.Max(most, to / source[i]) : most;
            passed += to * CieObserver.Row(i).Y;
            all += source[i] * CieObserver.Row(i).Y;
        }

        return (float)(passed / most / all);
    }

    /// <summary>XYZ relative to the open source's Y = 1, for insertions 0 to 1.</summary>
    public Vector3 Xyz(float cyan, float magenta, float yellow, float temperature)
    {
        var sum = Vector3.Zero;
        for (var corner = 0; corner < 16; corner++)
        {
            var w = ((corner & 1) != 0 ? cyan : 1 - cyan)
                * ((corner & 2) != 0 ? magenta : 1 - magenta)
                * ((corner & 4) != 0 ? yellow : 1 - yellow)
                * ((corner & 8) != 0 ? temperature : 1 - temperature);
            sum += w * _corners[corner];
        }

        return sum;
    }

    /// <summary>Transmission of the fully inserted cyan flag.</summary>
    public static float Cyan(float nanometres) => Leak + (Open * Below(nanometres, 578));

    /// <summary>Transmission of the fully inserted magenta flag.</summary>
    public static float Magenta(float nanometres) => Leak + (Open * (Below(nanometres, 488) + (1 - Below(nanometres, 607))));

    /// <summary>Transmission of the fully inserted yellow flag.</summary>
    public static float Yellow(float nanometres) => Leak + (Open * (1 - Below(nanometres, 508)));

    private static float Below(float nanometres, float edge) => 1 / (1 + MathF.Exp((nanometres - edge) / EdgeNanometres));
}
