using StageView.Show.Snap;

namespace StageView.Show.Tests.Snap;

public sealed class OneBehindTests
{
    [Fact]
    public void A_piece_is_finished_before_the_next_begins_and_handed_over_in_order()
    {
        var (running, most, taken) = (0, 0, new List<int>());
        using var behind = new OneBehind<int>(taken.Add);
        for (var i = 0; i < 20; i++)
        {
            var n = i;
            behind.Start(() =>
            {
                most = Math.Max(most, Interlocked.Increment(ref running));
                Thread.Yield();
                Interlocked.Decrement(ref running);
                return n;
            });
            Assert.Equal(i, taken.Count);
        }

        behind.End();
        behind.End();
        Assert.Equal(Enumerable.Range(0, 20), taken);
        Assert.Equal(1, most);
    }

    [Fact]
    public void An_error_is_the_callers_and_nothing_runs_on_after_the_end()
    {
        using var free = new ManualResetEventSlim();
        var ended = false;
        var behind = new OneBehind<int>(_ => { });
        behind.Start(() => throw new InvalidDataException("no room"));
        Assert.Equal("no room", Assert.Throws<InvalidDataException>(() => behind.Start(() => 1)).Message);
        behind.Start(() =>
        {
            free.Wait();
            ended = true;
            return 1;
        });
        _ = Task.Run(free.Set);
        behind.Dispose();
        Assert.True(ended);
    }
}
