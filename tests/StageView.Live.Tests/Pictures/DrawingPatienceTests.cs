using Microsoft.Extensions.Time.Testing;
using StageView.Live.Pictures;

namespace StageView.Live.Tests.Pictures;

/// <summary>When a drawing process is taken for hung.</summary>
public sealed class DrawingPatienceTests
{
    private readonly FakeTimeProvider _clock = new();

    [Fact]
    public void Silence_for_half_a_minute_is_too_long_only_while_something_is_waited_for()
    {
        var patience = new DrawingPatience(_clock);
        var wait = patience.Expect();
        _clock.Advance(TimeSpan.FromHours(1));
        Assert.False(wait.IsOver);
        wait.Begin();
        _clock.Advance(TimeSpan.FromSeconds(29.9));
        Assert.False(wait.IsOver);
        _clock.Advance(TimeSpan.FromSeconds(.1));
        Assert.True(wait.IsOver);
        wait.Leave();
        Assert.False(wait.IsOver);
        wait.Begin();
        Assert.False(wait.IsOver);
    }

    [Fact]
    public void A_picture_that_gets_on_may_take_as_long_as_it_takes()
    {
        var wait = new DrawingPatience(_clock).Expect();
        wait.Begin();
        for (var pass = 0; pass < 40; pass++)
        {
            _clock.Advance(TimeSpan.FromSeconds(25));
            Assert.False(wait.IsOver);
            wait.Lives();
        }

        _clock.Advance(TimeSpan.FromSeconds(30));
        Assert.True(wait.IsOver);
    }

    [Fact]
    public void Each_process_that_was_ended_gives_the_next_twice_the_time_up_to_eight_minutes()
    {
        var patience = new DrawingPatience(_clock);
        var times = new List<double>();
        for (var i = 0; i < 7; i++)
        {
            times.Add(patience.Now.TotalSeconds);
            patience.RanOut();
        }

        Assert.Equal([30, 60, 120, 240, 480, 480, 480], times);
    }

    [Fact]
    public void A_slow_first_picture_comes_in_the_end_and_the_time_falls_back_once_one_came_quickly()
    {
        var patience = new DrawingPatience(_clock);
        var tries = 0;
        for (var came = false; !came && tries < 10;)
        {
            // Each process compiles the same programs, which takes this machine 100 silent seconds.
            tries++;
            var wait = patience.Expect();
            wait.Begin();
            for (var second = 0; second < 100 && !wait.IsOver; second++)
            {
                _clock.Advance(TimeSpan.FromSeconds(1));
            }

            came = !wait.IsOver;
            if (came)
            {
                wait.Came();
            }
            else
            {
                patience.RanOut();
            }
        }

        Assert.Equal(3, tries);
        Assert.Equal(120, patience.Now.TotalSeconds);
        var next = patience.Expect();
        next.Begin();
        _clock.Advance(TimeSpan.FromSeconds(2));
        next.Came();
        Assert.Equal(30, patience.Now.TotalSeconds);
    }

    [Fact]
    public void What_nobody_waited_for_changes_nothing()
    {
        var patience = new DrawingPatience(_clock);
        patience.RanOut();
        patience.Expect().Came();
        Assert.Equal(60, patience.Now.TotalSeconds);
    }
}
