namespace StageView.Light.Cautions.Flashes;

/// <summary>A time in which a fixture flashed more often than the limit.</summary>
/// <param name="Fixture">Index in the rig.</param>
/// <param name="From">The first flash, s.</param>
/// <param name="To">The last, s.</param>
/// <param name="Rate">The highest rate, flashes a second, by the mean time between flashes.</param>
public sealed record StrobeSpell(int Fixture, double From, double To, double Rate)
{
    public double Seconds => To - From;
}
