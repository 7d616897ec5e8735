using Microsoft.Extensions.Time.Testing;
using StageView.Live.Night;
using StageView.Live.Server;
using StageView.Live.Terms;

namespace StageView.Live.Tests.Server;

/// <summary>What a page opens, it sees alone, unless it leads.</summary>
public sealed class SeatPlanTests : IDisposable
{
    private static readonly string s_name = new('a', 32);
    private readonly FakeTimeProvider _clock = new();
    private readonly SyntheticShow _house;
    private readonly List<SyntheticShow> _apart = [];
    private readonly SeatPlan _plan;

    public SeatPlanTests()
    {
        _clock.Advance(TimeSpan.FromSeconds(1));
        _house = new SyntheticShow();
        _house.OfItsOwn = () =>
        {
            _apart.Add(new SyntheticShow());
            return _apart[^1];
        };
        _plan = new SeatPlan(_house, new NightJournal(_clock), _clock);
    }

    public void Dispose()
    {
        _plan.Dispose();
        _house.Dispose();
    }

    [Fact]
    public void A_capture_that_one_opens_is_seen_by_none_of_the_others()
    {
        var (tablet, desk) = (_plan.Take(null), _plan.Take(null));
        Assert.True(_plan.Open(tablet, s => s.Open("take 1")).Ok);
        Assert.True(_plan.Act(tablet, s => s.Seek(12)).Ok);
        Assert.Equal(("capture", 12), (tablet.Now.State().Source, tablet.Now.State().Seconds));
        Assert.Equal(("network", "network"), (_house.Source, desk.Now.State().Source));
        Assert.Equal((false, true, false), Stands(tablet));
        Assert.Equal((false, false, false), Stands(desk));

        // Back at the network it sees what all see.
        Assert.True(_plan.Listen(tablet).Ok);
        Assert.Same(_house, tablet.Now);
        Assert.True(_apart[0].IsDisposed);
    }

    [Fact]
    public void Levels_that_one_looks_at_are_seen_by_none_of_the_others_until_it_leads()
    {
        var (tablet, desk) = (_plan.Take(null), _plan.Take(null));
        var level = new AsIfLevel("Spot 1", "Dimmer", 255);
        Assert.True(_plan.LookAsIf(tablet, s => s.LookAsIf([level])).Ok);
        Assert.Equal([level], _apart[0].AsIfLevels);
        Assert.Null(desk.Now.State().AsIf);
        Assert.False(_plan.EndAsIf(desk).Ok);

        // Released, it sees what all see.
        Assert.True(_plan.EndAsIf(tablet).Ok);
        Assert.Same(_house, tablet.Now);

        // One that begins to lead takes them along; nobody else ends them, and they end with the leading.
        Assert.True(_plan.LookAsIf(tablet, s => s.LookAsIf([level])).Ok);
        Assert.True(_plan.Lead(tablet, true).Ok);
        Assert.Equal([level], _house.AsIfLevels);
        Assert.False(_plan.EndAsIf(desk).Ok);
        Assert.True(_plan.EndAsIf(tablet).Ok);
        Assert.Empty(_house.AsIfLevels);

        // Over a capture of one's own they stay there when they are released.
        Assert.True(_plan.Open(tablet, s => s.Open("take 1")).Ok);
        Assert.False(_plan.LookAsIf(desk, s => s.LookAsIf([level])).Ok);
        Assert.True(_plan.LookAsIf(tablet, s => s.LookAsIf([level])).Ok);
        Assert.True(_plan.EndAsIf(tablet).Ok);
        Assert.Equal("capture", tablet.Now.State().Source);
    }

    [Fact]
    public void What_can_not_be_opened_leaves_a_page_where_it_was()
    {
        var tablet = _plan.Take(null);
        Assert.False(_plan.Open(tablet, s => s.Open("no such take")).Ok);
        Assert.Same(_house, tablet.Now);
        Assert.True(_apart[0].IsDisposed);
    }

    [Fact]
    public void Who_leads_shows_all_others_what_it_has_and_opens_until_it_ends()
    {
        var (lead, other, third) = (_plan.Take(null), _plan.Take(null), _plan.Take(null));
        _plan.Open(lead, s => s.Open("take 1"));
        _plan.Act(lead, s => s.Seek(12));
        _plan.Open(third, s => s.TryLook("blue"));
        Assert.True(_plan.Lead(lead, true).Ok);
        Assert.Equal(("capture", 12), (_house.Source, _house.Position));
        Assert.Equal(("capture", "capture", "look"), (lead.Now.State().Source, other.Now.State().Source, third.Now.State().Source));
        Assert.Equal(((true, false, false), (false, false, true)), (Stands(lead), Stands(other)));

        // Nobody turns what another leads.
        Assert.False(_plan.Act(other, s => s.Seek(3)).Ok);
        Assert.Equal(12, _house.Position);
        Assert.True(_plan.Act(lead, s => s.Seek(4)).Ok);
        Assert.Equal(4, _house.Position);

        // For itself it may look at the network meanwhile.
        Assert.True(_plan.Listen(other).Ok);
        Assert.Equal(("network", "capture"), (other.Now.State().Source, _house.Source));
        Assert.True(_plan.Lead(lead, false).Ok);
        Assert.Equal("network", _house.Source);
        Assert.Equal((false, true, false), Stands(third));
    }

    [Fact]
    public void The_last_that_asked_to_leads_and_when_it_leaves_for_good_the_house_shows_the_network()
    {
        var (first, second) = (_plan.Take(null), _plan.Take(s_name));
        _plan.Lead(first, true);
        _plan.Lead(second, true);
        Assert.Equal(((false, false, true), (true, false, false)), (Stands(first), Stands(second)));
        _plan.Open(second, s => s.Open("take 1"));
        Assert.Equal("capture", _house.Source);
        _plan.Leave(second);
        _clock.Advance(TimeSpan.FromMinutes(9));
        Assert.True(Stands(first).Led);
        _clock.Advance(TimeSpan.FromMinutes(2));
        Assert.False(Stands(first).Led);
        Assert.Equal("network", _house.Source);
    }

    [Fact]
    public void A_page_that_is_loaded_again_finds_what_it_had_and_one_that_stays_away_does_not()
    {
        var tablet = _plan.Take(s_name);
        _plan.Open(tablet, s => s.Open("take 1"));

        // A tab that was doubled knows the same name.
        Assert.NotSame(tablet, _plan.Take(s_name));
        _plan.Leave(tablet);
        _clock.Advance(TimeSpan.FromMinutes(9));
        Assert.Same(tablet, _plan.Take(s_name));
        Assert.Equal("capture", tablet.Now.State().Source);
        _plan.Leave(tablet);
        _clock.Advance(TimeSpan.FromMinutes(11));
        Assert.Null(_plan.Find(_plan.Take(null).Id));
        Assert.True(_apart[0].IsDisposed);
        Assert.Equal("network", _plan.Take(s_name).Now.State().Source);
    }

    private (bool Leads, bool Own, bool Led) Stands(PageSeat seat) => (_plan.StateOf(seat).Leads, _plan.StateOf(seat).Own, _plan.StateOf(seat).Led);
}
