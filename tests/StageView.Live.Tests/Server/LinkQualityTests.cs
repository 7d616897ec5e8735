using Microsoft.Extensions.Time.Testing;
using StageView.Live.Measuring;
using StageView.Live.Server;
using StageView.Live.Terms;

namespace StageView.Live.Tests.Server;

/// <summary>How coarse a viewer's pictures are, by what its link does.</summary>
public sealed class LinkQualityTests
{
    [Fact]
    public void Slow_pictures_ask_for_less_at_once_and_calm_ones_for_more_after_a_while()
    {
        var quality = new LinkQuality();
        var first = quality.Moving;
        quality.Shown(200, resting: false);
        quality.Shown(900, resting: false);
        Assert.Equal(4, quality.Rung);
        Assert.True(quality.Moving.Scale < first.Scale);
        Assert.True(quality.Moving.Quality < first.Quality);
        for (var i = 0; i < 100; i++)
        {
            quality.Shown(5000, resting: true);
        }

        Assert.Equal(4, quality.Rung);
        for (var i = 0; i < 23; i++)
        {
            quality.Shown(30, resting: false);
        }

        Assert.Equal(4, quality.Rung);
        quality.Shown(30, resting: false);
        Assert.Equal(3, quality.Rung);
        for (var i = 0; i < 200; i++)
        {
            quality.Shown(30, resting: false);
        }

        Assert.Equal(0, quality.Rung);
        Assert.Equal(FrameFormat.Png, quality.Resting.Format);
    }

    [Fact]
    public void A_slow_renderer_draws_smaller_while_the_picture_moves_and_in_full_when_it_rests()
    {
        var quality = new LinkQuality();
        for (var i = 0; i < 40; i++)
        {
            quality.Drawn(400, resting: false);
        }

        Assert.InRange(quality.Moving.Scale, .29f, .31f);
        Assert.Equal(1, quality.Resting.Scale);
        for (var i = 0; i < 100; i++)
        {
            quality.Drawn(20, resting: false);
        }

        Assert.Equal(1, quality.Moving.Scale);
    }

    [Fact]
    public void A_desk_holds_one_picture_and_two_under_way_at_most()
    {
        var clock = new FakeTimeProvider();
        var desk = new FrameDesk(clock, new LinkQuality()) { View = Viewpoint.Start };
        var sent = 0;
        var last = 0u;
        for (var i = 0; i < 50; i++)
        {
            clock.Advance(TimeSpan.FromMilliseconds(20));
            if (desk.Wants(TimeSpan.FromMilliseconds(16), true, out var view, out _, out _, out var resting))
            {
                desk.Sheet.Resize(view.Width, view.Height);
                desk.Sheet.Fingerprint = (ulong)i + 1;
                desk.Filled(view, resting);
            }

            if (desk.TryTake(out var picture, out _, out var number))
            {
                desk.SentOff(number, picture);
                (sent, last) = (sent + 1, number);
            }
        }

        Assert.Equal(2, sent);
        desk.Shown(last);
        clock.Advance(TimeSpan.FromMilliseconds(20));
        Assert.True(desk.Wants(TimeSpan.FromMilliseconds(16), true, out _, out _, out _, out _));
    }

    [Fact]
    public void The_interval_runs_from_the_beginning_of_a_picture_that_was_drawn()
    {
        var clock = new FakeTimeProvider();
        var desk = new FrameDesk(clock, new LinkQuality()) { View = Viewpoint.Start };
        var interval = TimeSpan.FromMilliseconds(16);
        clock.Advance(TimeSpan.FromSeconds(1));
        Assert.True(desk.Wants(interval, true, out _, out _, out _, out _));
        // Nothing had changed, so the next state is welcome at once.
        Assert.True(desk.Wants(interval, true, out var view, out _, out _, out var resting));
        clock.Advance(TimeSpan.FromMilliseconds(12));
        desk.Sheet.Resize(view.Width, view.Height);
        desk.Filled(view, resting);
        Assert.True(desk.TryTake(out var picture, out _, out var number));
        desk.SentOff(number, picture);
        Assert.Equal(4, desk.UntilDue(interval).TotalMilliseconds, 0.001);
        Assert.False(desk.Wants(interval, true, out _, out _, out _, out _));
        clock.Advance(TimeSpan.FromMilliseconds(4));
        Assert.True(desk.Wants(interval, true, out _, out _, out _, out _));
    }

    [Fact]
    public void Only_packets_that_come_after_the_first_picture_count_for_the_delay()
    {
        var clock = new FakeTimeProvider();
        var desk = new FrameDesk(clock, new LinkQuality()) { View = Viewpoint.Start };
        clock.Advance(TimeSpan.FromSeconds(1));
        var old = clock.GetTimestamp();
        clock.Advance(TimeSpan.FromMinutes(1));
        Show(old);
        Assert.Null(desk.Link().LatencyMs);

        Show(Fresh());
        Assert.Equal(30, desk.Link().LatencyMs!.Value, 0.01);

        // Nothing fresh for some seconds: the delay is no longer known.
        clock.Advance(TimeSpan.FromSeconds(10));
        Assert.Null(desk.Link().LatencyMs);
        Assert.Null(desk.Link().WorstMs);

        // A packet came while the page was hidden.
        desk.Paused = true;
        var hidden = clock.GetTimestamp();
        clock.Advance(TimeSpan.FromMinutes(1));
        desk.Paused = false;
        Show(hidden);
        Assert.Null(desk.Link().LatencyMs);
        Show(Fresh());
        Assert.Equal(30, desk.Link().LatencyMs!.Value, 0.01);

        // A capture's pictures hold no packet, and what came meanwhile does not count when the network is shown again.
        desk.Follows("capture");
        Assert.Null(desk.Link().LatencyMs);
        Show(0);
        var meanwhile = clock.GetTimestamp();
        clock.Advance(TimeSpan.FromMinutes(1));
        Show(meanwhile);
        desk.Follows("network");
        Assert.Null(desk.Link().LatencyMs);
        Show(meanwhile);
        Assert.Null(desk.Link().LatencyMs);
        Show(Fresh());
        Assert.Equal(30, desk.Link().LatencyMs!.Value, 0.01);

        long Fresh()
        {
            var arrival = clock.GetTimestamp();
            clock.Advance(TimeSpan.FromMilliseconds(10));
            return arrival;
        }

        void Show(long arrival)
        {
            Assert.True(desk.Wants(TimeSpan.Zero, true, out var view, out _, out _, out var resting));
            desk.Sheet.Resize(view.Width, view.Height);
            desk.Sheet.NewestArrival = arrival;
            desk.Filled(view, resting);
            Assert.True(desk.TryTake(out var picture, out _, out var number));
            desk.SentOff(number, picture);
            clock.Advance(TimeSpan.FromMilliseconds(20));
            desk.Shown(number);
        }
    }

    [Fact]
    public void A_marker_level_is_measured_where_it_is_seen_first()
    {
        var clock = new FakeTimeProvider();
        using var marker = new MarkerSender(63999, FreePort.Udp(), clock);
        clock.Advance(TimeSpan.FromMilliseconds(130));
        var sent = clock.GetTimestamp();
        const int level = 1;
        long After(double ms) => sent + (long)(ms * clock.TimestampFrequency / 1000);
        marker.Seen(level, After(20), 0, window: true);
        // The same level in later frames, and on two pages.
        marker.Seen(level, After(60), 0, window: true);
        marker.Seen(level, After(100), 0, window: true);
        var (one, other) = (new FirstSight(), new FirstSight());
        Assert.True(one.Of(level));
        Assert.True(other.Of(level));
        Assert.False(one.Of(level));
        Assert.True(one.Of(level + 1));
        marker.Seen(level, After(50), 10, window: false);
        var state = marker.State(level);
        Assert.Equal(20, state.ToWindowMs!.Value, 0.01);
        Assert.Equal(40, state.ToPageMs!.Value, 0.01);
        Assert.Equal(2, state.Seen);
    }
}
