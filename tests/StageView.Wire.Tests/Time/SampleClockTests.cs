using StageView.Wire.Time;

namespace StageView.Wire.Tests.Time;

/// <summary>Where samples lie on the machine's clock when their blocks come late.</summary>
public sealed class SampleClockTests
{
    private const int Rate = 48_000;
    private const int Block = 960;

    [Fact]
    public void Blocks_that_come_late_in_a_burst_move_nothing()
    {
        var clock = new SampleClock(Rate);
        for (var n = 1; n < 500; n++)
        {
            // 5 s in, half a second comes at once.
            var due = n * Block / (double)Rate;
            var shift = clock.Take(Block, Seconds(due + .007 + (due is > 5 and < 5.5 ? 5.5 - due : 0)));
            Assert.Equal(.007, shift.TotalSeconds, 4);
        }
    }

    [Fact]
    public void Lost_samples_and_a_card_that_runs_slow_are_followed_and_times_never_run_back()
    {
        var clock = new SampleClock(Rate);
        var last = TimeSpan.MinValue;
        var shift = TimeSpan.Zero;
        for (var n = 1; n < 1500; n++)
        {
            // 0.1 % slow; 100 ms are lost after 10 s, and come earlier by 50 ms from 20 s on.
            var at = n * Block / (double)Rate;
            var lost = at > 20 ? .05 : at > 10 ? .1 : 0;
            shift = clock.Take(Block, Seconds((at * 1.001) + lost));
            var first = Seconds((n - 1) * Block / (double)Rate) + shift;
            Assert.True(first > last);
            last = first;
            if (n == 990)
            {
                // Two seconds ago it was the least late.
                Assert.InRange(shift.TotalSeconds, .1 + (at * .001) - .0025, .1 + (at * .001));
            }
        }

        Assert.InRange(shift.TotalSeconds, .05 + .03 - .0025, .05 + .03);
    }

    private static TimeSpan Seconds(double s) => TimeSpan.FromSeconds(s);
}
