using StageView.Live.Night;
using StageView.Live.Terms;

namespace StageView.Live.Server;

/// <summary>
/// Which page sees what. What a page opens it sees alone, unless it leads: then the window and all who have nothing of their own see it, too. One leads at a
/// time, the last that asked to; when nobody does, the house shows the network.
/// </summary>
internal sealed class SeatPlan(ILiveShow house, NightJournal journal, TimeProvider clock) : IDisposable
{
    /// <summary>A page that was away for no longer finds what it had: a reload, a tablet that slept.</summary>
    private static readonly TimeSpan Kept = TimeSpan.FromMinutes(10);

    private const int MostKept = 16;
    private readonly Lock _gate = new();
    private readonly List<PageSeat> _seats = [];
    private PageSeat? _lead;

    /// <summary>A seat for a page that just came.</summary>
    /// <param name="id">What it called its seat before, or null.</param>
    public PageSeat Take(string? id)
    {
        Clear();
        lock (_gate)
        {
            if (id is not null && _seats.Find(s => s.Id == id && !s.IsTaken) is { } kept)
            {
                kept.IsTaken = true;
                return kept;
            }

            // A tab that was doubled knows the other's name: it gets a seat without one.
            var seat = new PageSeat(house, _seats.Exists(s => s.Id == id) ? null : id) { IsTaken = true };
            _seats.Add(seat);
            return seat;
        }
    }

    /// <summary>Its page is gone.</summary>
    public void Leave(PageSeat seat)
    {
        lock (_gate)
        {
            (seat.IsTaken, seat.LeftAt) = (false, clock.GetTimestamp());
        }

        Clear();
    }

    /// <summary>The seat that a page calls so, or null.</summary>
    public PageSeat? Find(string? id)
    {
        lock (_gate)
        {
            return id is null ? null : _seats.Find(s => s.Id == id);
        }
    }

    /// <summary>How it stands, for the page.</summary>
    public SeatState StateOf(PageSeat seat)
    {
        Clear();
        lock (_gate)
        {
            return new SeatState(_lead == seat, seat.HasOwn, _lead is not null && _lead != seat);
        }
    }

    /// <summary>Begins or ends leading.</summary>
    public Reply Lead(PageSeat seat, bool on)
    {
        if (on == Leads(seat))
        {
            return Reply.Done("");
        }

        if (!on)
        {
            EndLead(seat);
            return Reply.Done("leading no more; the window and the others see the network");
        }

        if (seat.HasOwn && Show(seat.Now.State(), seat.Now.AsIfLevels) is { Ok: false } refused)
        {
            return refused;
        }

        lock (_gate)
        {
            _lead = seat;
        }

        seat.Has(null);
        journal.Say("page", "a page leads what the window and the others see");
        return Reply.Done("leading: what you open, the window and the others see");
    }

    /// <summary>Opens something: before everybody for the one that leads, else before this page alone.</summary>
    public Reply Open(PageSeat seat, Func<ISeat, Reply> open)
    {
        if (Leads(seat) || seat.HasOwn)
        {
            return open(seat.Now);
        }

        var own = house.Apart();
        var answer = open(own);
        if (answer.Ok)
        {
            seat.Has(own);
        }
        else
        {
            own.Dispose();
        }

        return answer;
    }

    /// <summary>Does something with what is open: nobody does it to what another page leads.</summary>
    public Reply Act(PageSeat seat, Func<ISeat, Reply> act) =>
        Leads(seat) || seat.HasOwn || house.State().Source == "network" ? act(seat.Now)
        : Reply.Refuse("another device leads what is shown: open the capture here to have it for yourself");

    /// <summary>Shows the network: to everybody for the one that leads, else to this page alone.</summary>
    public Reply Listen(PageSeat seat)
    {
        if (Leads(seat))
        {
            return house.Listen();
        }

        var answer = house.State().Source == "network" ? Reply.Done("showing the network") : Open(seat, s => s.Listen());
        if (house.State().Source == "network")
        {
            seat.Has(null);
        }

        return answer;
    }

    /// <summary>Looks at levels as if: before everybody for the one that leads, else before this page alone.</summary>
    public Reply LookAsIf(PageSeat seat, Func<ISeat, Reply> look) =>
        Leads(seat) || seat.HasOwn || house.State().Source == "network" ? Open(seat, look)
        : Reply.Refuse("another device leads what is shown: open the capture here to have it for yourself");

    /// <summary>Ends it; a page that had nothing else of its own sees what the house shows again.</summary>
    public Reply EndAsIf(PageSeat seat)
    {
        if (!Leads(seat) && !seat.HasOwn)
        {
            return Reply.Refuse("what is shown is not this device's to change");
        }

        var answer = seat.Now.EndAsIf();
        if (!Leads(seat) && seat.Now.State().Source == "network" && house.State().Source == "network")
        {
            seat.Has(null);
        }

        return answer;
    }

    public void Dispose()
    {
        List<PageSeat> all;
        lock (_gate)
        {
            all = [.. _seats];
            _seats.Clear();
        }

        all.ForEach(s => s.Dispose());
    }

    private bool Leads(PageSeat seat)
    {
        lock (_gate)
        {
            return _lead == seat;
        }
    }

    /// <summary>Puts before everybody what one has before it, at the same time and pace.</summary>
    private Reply Show(ShowState own, IReadOnlyList<AsIfLevel> asIf)
    {
        var shown = own.Source switch
        {
            "capture" => house.Open(own.SourceName),
            "look" => house.TryLook(own.SourceName),
            _ => house.Listen(),
        };
        if (shown.Ok && own.Capture is { } c && house.Seek(c.Position).Ok)
        {
            house.Play(c.Playing, c.Speed);
        }

        return shown.Ok && asIf.Count > 0 ? house.LookAsIf(asIf) : shown;
    }

    private void EndLead(PageSeat seat)
    {
        lock (_gate)
        {
            if (_lead != seat)
            {
                return;
            }

            _lead = null;
        }

        house.Listen();
        journal.Say("page", "nobody leads any more; the house shows the network");
    }

    /// <summary>Lets go what nobody comes back to.</summary>
    private void Clear()
    {
        List<PageSeat> gone;
        lock (_gate)
        {
            var left = _seats.Where(s => !s.IsTaken).OrderByDescending(s => s.LeftAt).ToList();
            gone = [.. left.Where((s, n) => s.Id is null || n >= MostKept || clock.GetElapsedTime(s.LeftAt) > Kept)];
            _seats.RemoveAll(gone.Contains);
        }

        foreach (var seat in gone)
        {
            seat.Dispose();
            EndLead(seat);
        }
    }
}

/// <param name="Leads">What it opens, everybody sees.</param>
/// <param name="Own">It sees something of its own.</param>
/// <param name="Led">Another leads.</param>
internal sealed record SeatState(bool Leads, bool Own, bool Led)
{
    /// <summary>It was invited to look, and changes nothing that others have.</summary>
    public bool LooksOnly { get; init; }
}
