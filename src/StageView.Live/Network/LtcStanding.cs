using StageView.Live.Night;

namespace StageView.Live.Network;

/// <summary>
/// Says in the journal how a sound input stands: that it ended within a second, the rest when it has stood for some seconds; each once until
/// something else is said.
/// </summary>
internal sealed class LtcStanding(TimeProvider clock, NightJournal journal)
{
    // Ctrl+C reaches the input's program, too: what ends with all else is not told.
    private static readonly TimeSpan s_ended = TimeSpan.FromSeconds(.75);
    private static readonly TimeSpan s_stands = TimeSpan.FromSeconds(5);
    private LtcHeard? _last;
    private long _since;
    private string _told = "";
    private double? _speed;

    public void Look(LtcHeard heard)
    {
        if (heard.Kind != (_last?.Kind ?? LtcKind.Waits))
        {
            // It ended and is there again before it was told.
            if (_last is { Kind: LtcKind.Ended } ended)
            {
                Tell(ended);
            }

            _since = clock.GetTimestamp();
        }

        _last = heard;
        if (heard.Kind != LtcKind.Waits && clock.GetElapsedTime(_since) >= (heard.Kind == LtcKind.Ended ? s_ended : s_stands))
        {
            Tell(heard);
        }

        if (heard.Speed is { } speed && Math.Abs(speed - (_speed ?? 1)) > 1e-3)
        {
            _speed = speed;
            journal.Say("network", $"LTC from {heard.Name}: {heard.Words}, by this machine's clock");
        }
    }

    private void Tell(LtcHeard heard)
    {
        var line = heard.Kind == LtcKind.Ended ? heard.Why : heard.Kind.ToString();
        if (line != _told)
        {
            _told = line;
            journal.Say("network", $"LTC from {heard.Name}: {heard.Words}{(heard.Kind == LtcKind.Ended ? "; tried again" : Level(heard))}");
        }
    }

    private static string Level(LtcHeard heard) => heard.Peak is { } p && heard.Kind != LtcKind.Nothing
        ? string.Create(System.Globalization.CultureInfo.InvariantCulture, $", peak {p:0} dBFS") : "";
}
