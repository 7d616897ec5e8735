namespace StageView.Light.Cautions.Lasers;

/// <summary>One pulse at an eye.</summary>
/// <param name="Start">s.</param>
/// <param name="Seconds">Duration, s.</param>
/// <param name="JoulesPerSquareMetre">Radiant exposure averaged over the pupil, J/m².</param>
public readonly record struct Pulse(double Start, double Seconds, double JoulesPerSquareMetre)
{
    public double End => Start + Seconds;
}
