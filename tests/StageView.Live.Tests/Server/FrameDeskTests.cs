using Microsoft.Extensions.Time.Testing;
using StageView.Live.Server;
using StageView.Live.Terms;

namespace StageView.Live.Tests.Server;

/// <summary>What is drawn for a viewer while nothing changes, and how old what it sees is.</summary>
public sealed class FrameDeskTests
{
    private static readonly TimeSpan s_interval = TimeSpan.FromMilliseconds(16);
    private readonly FakeTimeProvider _clock = new();
    private readonly FrameDesk _desk;
    private ulong _essence = 7;

    public FrameDeskTests()
    {
        _clock.Advance(TimeSpan.FromSeconds(1));
        _desk = new FrameDesk(_clock, new LinkQuality(1)) { View = Viewpoint.Start };
    }

    [Fact]
    public void At_rest_the_picture_is_drawn_fine_once_however_slow_and_nothing_is_drawn_after_it()
    {
        var drawn = new List<bool>();
        for (var turn = 0; turn < 4000; turn++)
        {
            _clock.Advance(TimeSpan.FromMilliseconds(16));
            if (Turn(milliseconds: resting => resting ? 2300 : 320) is { } resting)
            {
                drawn.Add(resting);

                // The page has it half a second later; the pump goes on asking meanwhile.
                for (var wait = 0; wait < 30; wait++)
                {
                    _clock.Advance(TimeSpan.FromMilliseconds(16));
                    Assert.Null(Turn(milliseconds: _ => 320));
                }

                _desk.Shown(_number);
            }
        }

        Assert.Equal([false, true], drawn);
        _essence = 8;
        Assert.False(Turn(milliseconds: _ => 320));
        _desk.Shown(_number);
        _clock.Advance(TimeSpan.FromSeconds(1));
        Assert.True(Turn(milliseconds: _ => 2300));
    }

    [Fact]
    public void A_fine_picture_that_takes_its_time_waits_until_no_other_viewers_picture_moves()
    {
        Settle();
        _essence = 8;
        Assert.False(Turn(milliseconds: _ => 320));
        _desk.Shown(_number);
        _clock.Advance(TimeSpan.FromSeconds(1));
        Assert.Null(Turn(milliseconds: _ => 2300, calm: false));
        Assert.True(Turn(milliseconds: _ => 20));
        _desk.Shown(_number);

        // One that is quick holds up nobody.
        _essence = 9;
        _clock.Advance(TimeSpan.FromSeconds(1));
        Assert.False(Turn(milliseconds: _ => 320));
        _desk.Shown(_number);
        _clock.Advance(TimeSpan.FromSeconds(1));
        Assert.True(Turn(milliseconds: _ => 20, calm: false));
    }

    [Fact]
    public void Only_a_view_that_was_turned_is_turned_and_what_changed_just_now_moves()
    {
        Assert.True(_desk.IsTurned);
        Settle();
        Assert.False(_desk.IsTurned);
        Assert.False(_desk.IsMoving);
        _essence = 8;
        Turn(milliseconds: _ => 20);
        _desk.Shown(_number);
        Assert.False(_desk.IsTurned);
        Assert.True(_desk.IsMoving);
        _clock.Advance(TimeSpan.FromSeconds(1));
        _desk.View = Viewpoint.Start with { Ev100 = 3 };
        Assert.True(_desk.IsTurned);
        _desk.Paused = true;
        Assert.False(_desk.IsTurned);
    }

    [Fact]
    public void What_is_seen_is_as_old_as_the_state_that_it_shows_and_new_for_as_long_as_that_stays()
    {
        Assert.Null(_desk.Link().AgeSeconds);
        Turn(milliseconds: _ => 3000);
        Assert.Null(_desk.Link().AgeSeconds);
        _clock.Advance(TimeSpan.FromSeconds(1));
        _desk.Shown(_number);
        Assert.Equal(4, _desk.Link().AgeSeconds);

        // Looked at, and found unchanged.
        Assert.True(_desk.Wants(s_interval, true, out _, out _, out _, out _));
        _desk.StillSo(now: false);
        Assert.Equal(0, _desk.Link().AgeSeconds);
        _clock.Advance(TimeSpan.FromSeconds(5));
        Assert.Equal(5, _desk.Link().AgeSeconds);
        _desk.StillSo(now: true);
        Assert.Equal(0, _desk.Link().AgeSeconds);

        // Another state is drawn and not on the page yet: the one there was right until it was last seen so.
        _essence = 8;
        _clock.Advance(TimeSpan.FromSeconds(2));
        Turn(milliseconds: _ => 1000);
        Assert.Equal(3, _desk.Link().AgeSeconds);
        _desk.StillSo(now: true);
        Assert.Equal(3, _desk.Link().AgeSeconds);
        _desk.Shown(_number);
        Assert.Equal(0, _desk.Link().AgeSeconds);
    }

    private uint _number;

    private void Settle()
    {
        Turn(milliseconds: _ => 320);
        _desk.Shown(_number);
        _clock.Advance(TimeSpan.FromSeconds(1));
        Turn(milliseconds: _ => 2300);
        _desk.Shown(_number);
        _clock.Advance(TimeSpan.FromSeconds(1));
    }

    /// <summary>One turn of the pump: whether a picture was drawn and sent, and a fine one; null for none.</summary>
    private bool? Turn(Func<bool, int> milliseconds, bool calm = true)
    {
        if (!_desk.Wants(s_interval, calm, out var view, out var unless, out var onlyIf, out var resting) || _essence == unless)
        {
            return null;
        }

        if (onlyIf != 0 && _essence != onlyIf)
        {
            _desk.Moved();
            return Turn(milliseconds, calm);
        }

        _clock.Advance(TimeSpan.FromMilliseconds(milliseconds(resting)));
        _desk.Sheet.Resize(view.Width, view.Height);
        _desk.Sheet.Fingerprint = _desk.Sheet.Essence = _essence;
        _desk.Sheet.DrawMilliseconds = milliseconds(resting);
        _desk.Filled(view, resting);
        Assert.True(_desk.TryTake(out var picture, out _, out _number));
        _desk.SentOff(_number, picture);
        return resting;
    }
}
