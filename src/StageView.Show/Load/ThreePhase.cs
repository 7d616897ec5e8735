namespace StageView.Show.Load;

/// <summary>Currents of single-phase loads on a three-phase supply with a neutral.</summary>
public static class ThreePhase
{
    /// <summary>I = P / (U · power factor).</summary>
    /// <param name="watts">Power of the loads on one phase, W.</param>
    /// <param name="volts">Line to neutral, V.</param>
    /// <param name="powerFactor">More than 0 to 1.</param>
    /// <returns>Line current, A.</returns>
    public static double Amps(double watts, double volts, double powerFactor) => watts / (volts * powerFactor);

    /// <summary>
    /// The neutral's current when the three are 120° apart and alike in power factor: the sum of three phasors, √(a² + b² + c² - ab - bc - ca). Harmonics
    /// of three times the mains' frequency, which add up in the neutral, are not in it.
    /// </summary>
    /// <returns>A.</returns>
    public static double Neutral(double a, double b, double c) => Math.Sqrt(Math.Max(0, (a * a) + (b * b) + (c * c) - (a * b) - (b * c) - (c * a)));
}
