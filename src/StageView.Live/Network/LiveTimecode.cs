using StageView.Live.Night;
using StageView.Live.Terms;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;
using StageView.Wire.Time;

namespace StageView.Live.Network;

/// <summary>
/// The timecode that is heard: ArtTimeCode, on a clock of its own because listeners come and go, and LTC where a sound input is listened to. LTC counts
/// while it runs, ArtTimeCode while it does not. Starts, stops, jumps, dropouts and drift go into the journal.
/// </summary>
/// <param name="ltc">Listens to a sound input, or null.</param>
internal sealed class LiveTimecode(TimeProvider clock, NightJournal journal, LtcEar? ltc = null) : IDatagramTap
{
    private readonly TimecodeTap _tap = new(TimeSpan.FromSeconds(1));
    private readonly TimecodeTeller _teller = new(clock, journal, "timecode");
    private readonly TimecodeTeller _ltcTeller = new(clock, journal, "LTC");
    private readonly TimecodeDrift _drift = new(clock, journal);
    private readonly LtcStanding _standing = new(clock, journal);
    private readonly long _start = clock.GetTimestamp();
    private long _told;

    public void OnDatagram(TimeSpan at, SourceAddress from, SourceAddress to, ReadOnlySpan<byte> payload) =>
        _tap.OnDatagram(clock.GetElapsedTime(_start), from, to, payload);

    /// <summary>The label as of now, or the last one heard where it stands; null before the first.</summary>
    public (string Label, string Note)? Now()
    {
        var art = _tap.Read(clock.GetElapsedTime(_start));
        if (ltc?.Read() is { Label: { } label } heard && (heard.Runs || art is not { Runs: true }))
        {
            return (label.ToString(), TimecodeRateText.Of(label.Rate) + (heard.Backwards ? ", backwards" : heard.Runs ? ", runs" : ", stands") + ", LTC");
        }

        return art is null ? null : (art.Label, TimecodeRateText.Of(art.Rate) + (art.Runs ? ", runs" : ", stands") + (ltc is null ? "" : ", ArtTimeCode"));
    }

    /// <summary>The sound input; null where none is listened to.</summary>
    public LtcState? Ltc() => ltc?.Read() is not { } heard ? null : heard.State(heard.Runs ? TimecodeDrift.Words(heard.Label, Art) : null);

    /// <summary>The label as of now, or the last one heard where it stands; null before the first.</summary>
    public Timecode? Heard() =>
        _tap.Read(clock.GetElapsedTime(_start)) is { } heard && Timecode.TryParse(heard.Label, heard.Rate, out var label) ? label : null;

    /// <summary>Says in the journal what happened to it since the last call. One caller at a time.</summary>
    public void Tell()
    {
        _teller.Tell(_tap.Since(clock.GetElapsedTime(_start), ref _told));
        if (ltc is null)
        {
            return;
        }

        _ltcTeller.Tell(ltc.Happened());
        var heard = ltc.Read();
        _standing.Look(heard);
        _drift.Look(heard.Runs && !heard.Backwards ? heard.Label : null, Art);
    }

    private Timecode? Art => _tap.RunningAt(clock.GetElapsedTime(_start));
}
