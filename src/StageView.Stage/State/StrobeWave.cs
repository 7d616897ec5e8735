namespace StageView.Stage.State;

/// <summary>
/// Openness over one period of a strobe, phase 0 to 1, and its running integral in closed form. The waves are our own
/// reading of the attribute names: half open and half shut; a rise and fall; a rise; a fall; and flashes at seeded places.
/// </summary>
internal static class StrobeWave
{
    public static float Value(StrobeKind kind, float x, float duty, float offset) => kind switch
    {
        StrobeKind.Square => x < duty ? 1 : 0,
        StrobeKind.Pulse => 1 - MathF.Abs((2 * x) - 1),
        StrobeKind.Opening => x,
        StrobeKind.Closing => 1 - x,
        StrobeKind.Random => x >= offset && x < offset + duty ? 1 : 0,
        StrobeKind.RandomPulse => x >= offset && x < offset + duty ? 1 - MathF.Abs((2 * (x - offset) / duty) - 1) : 0,
        StrobeKind.RandomOpening => x >= offset && x < offset + duty ? (x - offset) / duty : 0,
        StrobeKind.RandomClosing => x >= offset && x < offset + duty ? 1 - ((x - offset) / duty) : 0,
        _ => 1,
    };

    /// <summary>Where in period <paramref name="k"/> a random flash starts, so that it ends within the period.</summary>
    public static float Offset(StrobeKind kind, uint seed, long k, float duty) =>
        kind >= StrobeKind.Random ? SeededChance.At(seed, k) * (1 - duty) : 0;

    /// <summary>∫ of openness over phase, from phase 0.</summary>
    public static double Cumulative(StrobeKind kind, double phase, float duty, uint seed)
    {
        var k = Math.Floor(phase);
        var x = phase - k;
        switch (kind)
        {
            case StrobeKind.Square:
                return (k * duty) + Math.Min(x, duty);
            case StrobeKind.Pulse:
                return (k * .5) + Triangle(x);
            case StrobeKind.Opening:
                return (k * .5) + (x * x / 2);
            case StrobeKind.Closing:
                return (k * .5) + x - (x * x / 2);
            case StrobeKind.Random:
                return (k * duty) + Math.Clamp(x - Offset(kind, seed, (long)k, duty), 0, duty);
            case StrobeKind.RandomPulse:
                return (k * duty / 2) + (duty * Triangle(Math.Clamp((x - Offset(kind, seed, (long)k, duty)) / duty, 0, 1)));
            case StrobeKind.RandomOpening or StrobeKind.RandomClosing:
                var u = Math.Clamp((x - Offset(kind, seed, (long)k, duty)) / duty, 0, 1);
                return (k * duty / 2) + (duty * (kind == StrobeKind.RandomOpening ? u * u / 2 : u - (u * u / 2)));
            default:
                return phase;
        }
    }

    private static double Triangle(double x) => x < .5 ? x * x : .5 - ((1 - x) * (1 - x));
}
