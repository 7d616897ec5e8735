using StageView.Stage.Programs;
using StageView.Stage.State;

namespace StageView.Stage.Optics;

/// <summary>What beats or jumps by itself: irises, frosts, and wheels that choose at random. The waves are those of the strobes.</summary>
internal static class Beats
{
    /// <summary>Opening of an iris, 0 to 1; open where the frequency is 0.</summary>
    public static float Iris(FixtureRun run, FunctionCode f, int channel, double t)
    {
        var hertz = run.Physical[channel];
        if (hertz <= 0)
        {
            return 1;
        }

        var raw = run.Raw[channel];
        var duty = Math.Clamp(f.DutyAt(raw) ?? (f.FlashSecondsAt(raw) is { } s ? s * hertz : .5f), .001f, 1);
        var kind = StrobeKind.Square + (f.Op - AttributeOp.IrisStrobe);
        return float.Lerp(f.LeastOpeningAt(raw), 1, Wave(run, f, channel, t, kind, duty));
    }

    /// <summary>
    /// Share of the frost in the beam, 0 to 1: a ramp brings it in and takes it out, an opening pulse takes it out, a closing one brings it in. None where the
    /// frequency is 0.
    /// </summary>
    public static float Frost(FixtureRun run, FunctionCode f, int channel, double t)
    {
        if (run.Physical[channel] <= 0)
        {
            return 0;
        }

        var kind = f.Op switch { AttributeOp.FrostRamp => StrobeKind.Pulse, AttributeOp.FrostPulseOpening => StrobeKind.Closing, _ => StrobeKind.Opening };
        return Wave(run, f, channel, t, kind, .5f);
    }

    /// <summary>The slot that a wheel shows that chooses at random, from 1; the first where the frequency is 0.</summary>
    public static int Slot(FixtureRun run, FunctionCode f, int channel, double t) =>
        run.Physical[channel] <= 0 ? 1 : SeededChance.Slot(Seed(run, channel), t, run.Physical[channel], f.Slots.Length);

    private static uint Seed(FixtureRun run, int channel) => (uint)((run.Fixture.Index.Value * 8191) + channel);

    private static float Wave(FixtureRun run, FunctionCode f, int channel, double t, StrobeKind kind, float duty)
    {
        var periods = f.Mover < 0 ? 0 : run.Travels[f.Mover].PositionAt(t);
        var k = Math.Floor(periods);
        return StrobeWave.Value(kind, (float)(periods - k), duty, StrobeWave.Offset(kind, Seed(run, channel), (long)k, duty));
    }
}
