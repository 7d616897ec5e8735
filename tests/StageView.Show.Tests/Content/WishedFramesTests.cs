using StageView.Show.Content;
using StageView.Stage.Content;

namespace StageView.Show.Tests.Content;

/// <summary>Frames that are read beside the one who asks for them.</summary>
public sealed class WishedFramesTests
{
    private static readonly TimeSpan Patience = TimeSpan.FromSeconds(60);

    [Fact]
    public void Who_asks_never_waits_the_newest_wish_wins_and_a_time_that_stays_comes_to_rest_on_its_frame()
    {
        using var slow = new SlowFrames();
        using var came = new SemaphoreSlim(0);
        using var frames = new WishedFrames(() => slow, () => came.Release());
        Assert.Null(frames.FrameAt(Seconds(1), false));
        Assert.True(slow.Begun.Wait(Patience));

        // While the first is read others are wished for: of those only the last is read.
        for (var s = 2; s <= 9; s++)
        {
            Assert.Null(frames.FrameAt(Seconds(s), false));
        }

        slow.Let(1);
        Assert.True(came.Wait(Patience));
        Assert.Equal(.1f, Grey(frames.FrameAt(Seconds(9), false)), .004f);
        slow.Let(100);
        Assert.True(SpinWait.SpinUntil(() => Grey(frames.FrameAt(Seconds(9), false)) > .8f, Patience));
        Assert.Equal([1, 9], slow.Read);

        // At rest nothing more is read.
        Assert.Equal(.9f, Grey(frames.FrameAt(Seconds(9), false)), .004f);
        Assert.Equal([1, 9], slow.Read);
    }

    [Fact]
    public void What_can_not_be_read_is_told_and_read_again_once_it_can_be()
    {
        var broken = true;
        using var frames = new WishedFrames(
            () => Volatile.Read(ref broken) ? throw StopException.Wrong("clip.mp4 does not exist") : new SlowFrames(100), () => { });
        Assert.True(SpinWait.SpinUntil(() => frames.FrameAt(Seconds(1), false) is null && frames.Trouble is not null, Patience));
        Assert.Equal("clip.mp4 does not exist", frames.Trouble);
        Volatile.Write(ref broken, false);
        Assert.True(SpinWait.SpinUntil(() => frames.FrameAt(Seconds(1), false) is not null, Patience));
        Assert.Null(frames.Trouble);
        Assert.False(frames.IsOver);
        Assert.True(SpinWait.SpinUntil(() => frames.FrameAt(Seconds(11), false) is null && frames.IsOver, Patience));
    }

    private static TimeSpan Seconds(double s) => TimeSpan.FromSeconds(s);

    private static float Grey(ContentImage? image) => image?.Mean(0, 0, 1, 1).Y ?? 0;

    /// <summary>Ten seconds of content, a tenth lighter each; each frame waits until it is let.</summary>
    private sealed class SlowFrames(int let = 0) : IContentFrames, IDisposable
    {
        private readonly SemaphoreSlim _let = new(let);

        public SemaphoreSlim Begun { get; } = new(0);

        public List<int> Read { get; } = [];

        public void Let(int frames) => _let.Release(frames);

        public ContentImage? FrameAt(TimeSpan sinceStart, bool repeat)
        {
            Read.Add((int)sinceStart.TotalSeconds);
            Begun.Release();
            _let.Wait();
            var linear = (int)sinceStart.TotalSeconds / 10.0;
            if (linear > 1)
            {
                return null;
            }

            // IEC 61966-2-1, so that means come out as tenths.
            var grey = (byte)Math.Round(255 * ((1.055 * Math.Pow(linear, 1 / 2.4)) - .055));
            return ContentImage.FromSrgb(1, 1, [grey, grey, grey]);
        }

        public void Dispose()
        {
        }
    }
}
