using System.Numerics;
using Microsoft.Extensions.Time.Testing;
using StageView.Live.Pictures;
using StageView.Live.Terms;
using StageView.Render.Contexts;

namespace StageView.Live.Tests.Pictures;

/// <summary>What the next drawing process is given of the last one's, and what is not taken from it at once.</summary>
public sealed class DrawersInTurnTests
{
    private static readonly WindowStanding There = new(new WindowPlace(1280, 0, 1024, 768, 1), new OrbitStanding(Vector3.One, 1, .2, 9, 40, 5, false));
    private readonly FakeTimeProvider _clock = new();
    private readonly List<(bool Window, WindowStanding? Standing)> _starts = [];
    private readonly List<Drawer> _made = [];

    [Fact]
    public void The_next_stands_where_the_last_one_stood_and_after_two_quick_ends_where_a_first_one_would()
    {
        var turns = Turns(() => new Drawer { HasWindow = true, Standing = There });
        turns.Next();
        _clock.Advance(TimeSpan.FromHours(1));
        turns.Next();
        _clock.Advance(TimeSpan.FromSeconds(3));
        turns.Next();
        _clock.Advance(TimeSpan.FromSeconds(3));
        turns.Next();
        _clock.Advance(TimeSpan.FromHours(1));
        turns.Next();
        Assert.Equal([(true, null), (true, There), (true, There), (true, null), (true, (WindowStanding?)There)], _starts);
    }

    [Fact]
    public void A_start_that_fails_is_no_quick_end()
    {
        var fails = 0;
        var turns = Turns(() => fails-- > 0 ? throw new InvalidOperationException("no") : new Drawer { HasWindow = true, Standing = There });
        turns.Next();
        _clock.Advance(TimeSpan.FromSeconds(3));
        fails = 3;
        for (var i = 0; i < 3; i++)
        {
            Assert.Throws<InvalidOperationException>(() => turns.Next());
        }

        turns.Next();
        Assert.Equal((true, There), _starts[^1]);
    }

    [Fact]
    public void A_window_closed_by_hand_is_not_opened_again()
    {
        var turns = Turns(() => new Drawer { HasWindow = _starts[^1].Window });
        turns.Next();
        _made[0].WindowWasClosed = true;
        turns.Next();
        turns.Next();
        Assert.Equal([true, false, false], _starts.Select(s => s.Window));
    }

    [Fact]
    public void Less_than_there_was_is_refused_four_times_and_then_taken()
    {
        var (window, software) = (true, false);
        var turns = Turns(() => new Drawer { HasWindow = window, IsSoftware = software, Renderer = software ? "a rasteriser" : "a processor" });
        turns.Next();
        _clock.Advance(TimeSpan.FromMinutes(5));
        window = false;
        Assert.Equal("its window can't be opened yet", Assert.Throws<InvalidOperationException>(() => turns.Next()).Message);
        (window, software) = (true, true);
        for (var i = 0; i < 3; i++)
        {
            Assert.Equal("only a rasteriser would draw yet, not a processor", Assert.Throws<InvalidOperationException>(() => turns.Next()).Message);
        }

        Assert.Same(turns.Next(), _made[^1]);
        Assert.Equal([false, true, true, true, true, false], _made.Select(m => m.Disposed));

        // What was taken is what there is now.
        Assert.Same(turns.Next(), _made[^1]);
        software = false;
        turns.Next();
        software = true;
        Assert.Throws<InvalidOperationException>(() => turns.Next());
        software = false;
        Assert.Same(turns.Next(), _made[^1]);
    }

    private DrawersInTurn Turns(Func<Drawer> make) =>
        new((window, standing) =>
        {
            _starts.Add((window, standing));
            _made.Add(make());
            return _made[^1];
        }, window: true, _clock);

    private sealed class Drawer : IDrawer
    {
        public bool HasWindow { get; init; }

        public bool WindowWasClosed { get; set; }

        public bool IsSoftware { get; init; }

        public WindowStanding? Standing { get; init; }

        public string Renderer { get; init; } = "";

        public bool Disposed { get; private set; }

        public DrawOutcome Draw(Viewpoint view, ulong unless, ulong onlyIf, Picture into, IDrawWatch? watch = null, IMoments? of = null) =>
            DrawOutcome.Unchanged;

        public void Check()
        {
        }

        public void Dispose() => Disposed = true;
    }
}
