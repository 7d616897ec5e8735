namespace StageView.Light.Cautions.Lasers;

/// <summary>
/// The eye's maximum permissible exposure to visible laser light, 400 to 700 nm, a point source (C6 = 1): IEC 60825-1:2014, table A.1, which takes over
/// ICNIRP's
/// limits of 2013 (Health Physics 105(3), 271, table 5). Read in others' citations of these tables (the Class 1 and 2 limits of the same standard are these
/// values
/// times the area of the 7 mm pupil), not in the documents themselves.
/// </summary>
public static class VisibleExposure
{
    /// <summary>Ti: pulses within this time count as one, s, 400 to 1,050 nm (IEC 60825-1:2014, table 2).</summary>
    public const double PulseGroupSeconds = 5e-6;

    /// <summary>Time of the aversion response, s (IEC 60825-1:2014, 4.3 e).</summary>
    public const double AversionSeconds = 0.25;

    /// <summary>Diameter of the pupil over which exposure is averaged, m (IEC 60825-1:2014, annex A: 7 mm).</summary>
    public const double PupilMetres = 0.007;

    /// <summary>Radiant exposure allowed in one exposure, J/m²: 2·10⁻³ up to 5 µs (from 10 ps), 18·t^0.75 from there to 10 s.</summary>
    /// <param name="seconds">10 ps to 10 s.</param>
    public static double RadiantExposure(double seconds) => seconds switch
    {
        >= 1e-11 and < PulseGroupSeconds => 2e-3,
        >= PulseGroupSeconds and <= 10 => 18 * Math.Pow(seconds, 0.75),
        _ => throw new ArgumentOutOfRangeException(nameof(seconds), seconds, "the limit holds for 10 ps to 10 s"),
    };

    /// <summary>The same as mean irradiance, W/m²: 25.5 for .25 s.</summary>
    public static double Irradiance(double seconds) => RadiantExposure(seconds) / seconds;

    /// <summary>
    /// C5, the correction of each pulse's limit in a train of repeated pulses (IEC 60825-1:2014, 4.3 f 3 and A.3). Direct beams and their mirror images are
    /// point sources:
    /// 1 for them wherever the exposure is no longer than .25 s. Corroborated by two public computations after the standard; the two rows for large sources
    /// from memory.
    /// </summary>
    /// <param name="pulseSeconds">Duration of one pulse, s.</param>
    /// <param name="pulses">How many there are within the exposure.</param>
    /// <param name="exposureSeconds">s.</param>
    /// <param name="sourceMilliradians">Angle that the source fills, mrad.</param>
    public static double RepetitionFactor(double pulseSeconds, int pulses, double exposureSeconds, double sourceMilliradians = 1.5)
    {
        if (pulses <= 1 || pulseSeconds >= 0.25)
        {
            return 1;
        }

        if (pulseSeconds <= PulseGroupSeconds)
        {
            return exposureSeconds <= 0.25 || pulses <= 600 ? 1 : Math.Max(0.4, 5 * Math.Pow(pulses, -0.25));
        }

        var largest = pulseSeconds < 625e-6 ? 5 : 200 * Math.Sqrt(pulseSeconds);
        return sourceMilliradians switch
        {
            <= 5 or > 100 => 1,
            var a when a <= largest => pulses <= 40 ? Math.Pow(pulses, -0.25) : 0.4,
            _ => pulses <= 625 ? Math.Pow(pulses, -0.25) : 0.2,
        };
    }
}
