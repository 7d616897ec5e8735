using Microsoft.Extensions.Time.Testing;
using StageView.Live.Network;
using StageView.Live.Night;

namespace StageView.Live.Tests.Network;

public sealed class LtcStandingTests
{
    private static readonly LtcHeard Ended = new(LtcKind.Ended, "tape", "it ended", null, null, false, null);
    private static readonly LtcHeard Silent = Ended with { Kind = LtcKind.Silent, Why = "" };

    private readonly FakeTimeProvider _clock = new();
    private readonly NightJournal _journal = new(TimeProvider.System);
    private readonly LtcStanding _standing;

    public LtcStandingTests() => _standing = new LtcStanding(_clock, _journal);

    private string[] Told => [.. _journal.Newest(10).Select(e => e.Text).Reverse()];

    private void Look(LtcHeard heard, double seconds)
    {
        _standing.Look(heard);
        _clock.Advance(TimeSpan.FromSeconds(seconds));
    }

    [Fact]
    public void An_input_that_ended_and_is_back_before_it_was_told_is_told()
    {
        Look(Silent, .5);
        Look(Ended, .5);
        Assert.Empty(Told);
        Look(Silent, .5);
        Assert.Equal(["LTC from tape: no input: it ended; tried again"], Told);
    }

    [Fact]
    public void One_that_stays_away_is_told_once_and_what_is_switched_off_with_it_never()
    {
        Look(Ended, .7);
        Assert.Empty(Told);
        Look(Ended, .1);
        Look(Ended, 10);
        Look(Ended, 10);
        Assert.Equal(["LTC from tape: no input: it ended; tried again"], Told);
        Look(Silent, 4);
        Look(Silent, 2);
        Assert.Single(Told);
        Look(Silent, 2);
        Assert.Equal(2, Told.Length);
    }
}
