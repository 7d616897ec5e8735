using StageView.Live.Night;

namespace StageView.Live.Network;

/// <summary>
/// Says in the journal how a sound input stands: that it ended at once, the rest when it has stood for some seconds; each once until something else is said.
/// </summary>
internal sealed class LtcStanding(TimeProvider clock, NightJournal journal)
{
    private static readonly TimeSpan s_stands = TimeSpan.FromSeconds(5);
    private LtcKind _kind = LtcKind.Waits;
    private long _since;
    private string _told = "";
    private double? _speed;

    public void Look(LtcHeard heard)
    {
        if (heard.Kind != _kind)
        {
            (_kind, _since) = (heard.Kind, clock.GetTimestamp());
        }

        var stands = clock.GetElapsedTime(_since) >= s_stands;
        if (heard.Kind == LtcKind.Ended ? heard.Why != _told : stands && heard.Kind != LtcKind.Waits)
        {
            var line = heard.Kind == LtcKind.Ended ? heard.Why : heard.Kind.ToString();
            if (line != _told)
            {
                _told = line;
                journal.Say("network", $"LTC from {heard.Name}: {heard.Words}{(heard.Kind == LtcKind.Ended ? "; tried again" : Level(heard))}");
            }
        }

        if (heard.Speed is { } speed && Math.Abs(speed - (_speed ?? 1)) > 1e-3)
        {
            _speed = speed;
            journal.Say("network", $"LTC from {heard.Name}: {heard.Words}, by this machine's clock");
        }
    }

    private static string Level(LtcHeard heard) => heard.Peak is { } p && heard.Kind != LtcKind.Nothing
        ? string.Create(System.Globalization.CultureInfo.InvariantCulture, $", peak {p:0} dBFS") : "";
}
