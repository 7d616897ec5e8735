using System.Net;
using System.Text.Json;
using System.Text.RegularExpressions;
using Microsoft.Extensions.Time.Testing;
using StageView.Live.Night;
using StageView.Live.Server;
using StageView.Live.Terms;

namespace StageView.Live.Tests.Server;

/// <summary>A device that was invited to look changes nothing that others have.</summary>
public sealed partial class LookerTests : IDisposable
{
    private static readonly HashSet<string> s_may =
    [
        "pick", "fixture", "find", "aim", "several", "listen", "open", "last", "play", "seek", "look", "place", "shelves", "through", "refocus", "focused",
        "still", "journal",
    ];

    private readonly SyntheticShow _house = new() { OfItsOwn = () => new SyntheticShow() };
    private readonly SeatPlan _plan;
    private readonly PageQuestions _questions;

    public LookerTests()
    {
        var (clock, journal) = (new FakeTimeProvider(), new NightJournal(TimeProvider.System));
        _plan = new SeatPlan(_house, journal, clock);
        _questions = new PageQuestions(_house, _plan, new LiveServerOptions(), journal);
    }

    public void Dispose()
    {
        _plan.Dispose();
        _house.Dispose();
    }

    // The names are read out of the source: a question that is added later is refused until somebody lists it in both places.
    [Fact]
    public void Every_question_is_refused_to_it_but_those_that_are_listed()
    {
        var source = File.ReadAllText(Repo.File("src", "StageView.Live", "Server", "PageQuestions.cs"));
        var all = Case().Matches(source).Select(m => m.Groups[1].Value).ToHashSet();
        Assert.Equal(AnyCase().Count(source), all.Count);
        Assert.Superset(s_may, all);
        Assert.Contains("record", all);
        var seat = _plan.Take(null);
        Assert.Equal(s_may.Order(), all.Where(q => !IsRefused(seat, DoorRole.Look, q)).Order());
        Assert.DoesNotContain(all, q => IsRefused(seat, DoorRole.Lead, q));
    }

    [Fact]
    public void What_it_opens_it_has_for_itself_and_a_seat_that_leads_is_not_its_to_use()
    {
        var (seat, lead) = (_plan.Take(null), _plan.Take(null));
        Assert.True(Ask(seat, DoorRole.Look, "open", """{"name":"take 1"}""").Ok);
        Assert.True(Ask(seat, DoorRole.Look, "seek", """{"seconds":12}""").Ok);
        Assert.Equal(("capture", "network"), (seat.Now.State().Source, _house.Source));
        Assert.True(Ask(lead, DoorRole.Lead, "lead", """{"on":true}""").Ok);
        Assert.True(IsRefused(lead, DoorRole.Look, "open"));
        Assert.Equal("network", _house.Source);
    }

    [Fact]
    public void An_invitation_to_lead_lets_in_anew_who_was_invited_to_look()
    {
        var keys = new DoorKeys(TimeProvider.System);
        var door = new Doorkeeper(keys);
        var here = IPAddress.Parse("192.0.2.7");
        Verdict Judge(string? session, string? key, out string? opened, out DoorRole role) =>
            door.Judge(IPAddress.Parse("192.0.2.9"), here, "192.0.2.7:4960", null, session, key, false, out opened, out role);
        Assert.Equal(Verdict.EnterWithSession, Judge(null, keys.NewKey(DoorRole.Look), out var looks, out _));
        Assert.Equal((Verdict.Enter, DoorRole.Look), (Judge(looks, "22222-22222", out _, out var role), role));
        Assert.Equal(Verdict.EnterWithSession, Judge(looks, keys.NewKey(DoorRole.Lead), out var leads, out _));
        Assert.Equal((Verdict.Enter, DoorRole.Lead), (Judge(leads, null, out _, out role), role));

        // Who leads already uses no key up.
        var spare = keys.NewKey(DoorRole.Look);
        Assert.Equal((Verdict.Enter, DoorRole.Lead), (Judge(leads, spare, out _, out role), role));
        Assert.Equal(DoorRole.Look, keys.Opens(keys.Spend(spare)));
    }

    private bool IsRefused(PageSeat seat, DoorRole role, string question) =>
        Ask(seat, role, question, "{}") is { Ok: false } r && r.Text.Contains("invited to look", StringComparison.Ordinal);

    private Reply Ask(PageSeat seat, DoorRole role, string question, string more) =>
        _questions.Ask(seat, role, question, JsonDocument.Parse(more).RootElement, Viewpoint.Start, () => null);

    [GeneratedRegex("case \"([a-z-]+)\":")]
    private static partial Regex Case();

    // However it is written: none slips through by another form.
    [GeneratedRegex("""\bcase\b|"[a-z-]+" (or|=>|when)\b""")]
    private static partial Regex AnyCase();
}
