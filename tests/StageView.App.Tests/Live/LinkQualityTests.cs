using Microsoft.Extensions.Time.Testing;
using StageView.App.Live;

namespace StageView.App.Tests.Live;

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
        var desk = new FrameDesk(clock, new LinkQuality()) { View = View.Start };
        var sent = 0;
        var last = 0u;
        for (var i = 0; i < 50; i++)
        {
            clock.Advance(TimeSpan.FromMilliseconds(20));
            if (desk.Wants(TimeSpan.FromMilliseconds(16), out var view, out _, out _, out var resting))
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
        Assert.True(desk.Wants(TimeSpan.FromMilliseconds(16), out _, out _, out _, out _));
    }
}
