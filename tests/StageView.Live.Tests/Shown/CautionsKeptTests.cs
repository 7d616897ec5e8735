using Microsoft.Extensions.Time.Testing;
using StageView.Live.Night;
using StageView.Live.Shown;
using StageView.Live.Terms;

namespace StageView.Live.Tests.Shown;

public sealed class CautionsKeptTests
{
    private readonly FakeTimeProvider _clock = new(new DateTimeOffset(2026, 3, 1, 20, 0, 0, TimeSpan.Zero));
    private readonly NightJournal _journal;
    private readonly CautionsKept _kept;

    public CautionsKeptTests()
    {
        _journal = new NightJournal(_clock);
        _kept = new CautionsKept(_journal, _clock);
    }

    [Fact]
    public void A_caution_goes_into_the_journal_once_and_again_after_ten_quiet_minutes()
    {
        _kept.Saw("the network", [Row("head 1"), Row("head 2") with { Now = false }]);
        for (var minute = 0; minute < 30; minute++)
        {
            _clock.Advance(TimeSpan.FromMinutes(1));
            _kept.Saw("the network", [Row("head 1") with { Text = $"head 1 shines into stalls with up to {900 + minute} lx" }]);
        }

        Assert.Equal(["the network: head 1 shines into stalls"], Said());
        _clock.Advance(TimeSpan.FromMinutes(11));
        _kept.Saw("the network", [Row("head 1")]);
        _kept.Saw("take 1", [Row("head 1")]);
        Assert.Equal(["the network: head 1 shines into stalls", "the network: head 1 shines into stalls", "take 1: head 1 shines into stalls"], Said());
    }

    [Fact]
    public void Many_at_once_are_counted()
    {
        _kept.Saw("the network", [.. Enumerable.Range(1, 80).Select(i => Row($"head {i}"))]);
        Assert.Equal(6, Said().Count);
        Assert.Equal("the network: 75 more", Said()[^1]);
    }

    [Fact]
    public void What_is_shown_no_more_is_listed_the_newest_first_and_not_beside_the_same_that_is_found_now()
    {
        _kept.Ended("the network", [Row("head 1") with { To = 5 }, Row("head 2") with { To = 8 }], r => $"at {r.To}");
        _kept.Ended("take 1", [Row("head 1")], _ => "at 3");
        Assert.Equal(["take 1 at 3", "the network at 8", "the network at 5"], _kept.Earlier("look", []).Select(e => $"{e.Of} {e.When}"));
        Assert.Equal(["take 1 at 3", "the network at 5"], _kept.Earlier("the network", [Row("head 2")]).Select(e => $"{e.Of} {e.When}"));

        // Found once more, it stands there once, with its newest time.
        _kept.Ended("the network", [Row("head 1") with { To = 9 }], r => $"at {r.To}");
        Assert.Equal(["the network at 9", "take 1 at 3", "the network at 8"], _kept.Earlier("look", []).Select(e => $"{e.Of} {e.When}"));
        _kept.Ended("take 2", [.. Enumerable.Range(1, 100).Select(i => Row($"head {i}"))], _ => "");
        Assert.Equal(CautionsKept.Most, _kept.Earlier("look", []).Count);
    }

    private List<string> Said() => [.. _journal.Newest(1000).Where(e => e.Kind == "caution").Select(e => e.Text)];

    private static CautionLine Row(string fixture) => new("light", $"{fixture} shines into stalls", "", fixture, 1, 1, 1, true, [0, 0, 0], false)
    {
        Key = "light|stalls|" + fixture,
    };
}
