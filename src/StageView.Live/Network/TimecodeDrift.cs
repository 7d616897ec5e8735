using System.Globalization;
using StageView.Live.Night;
using StageView.Wire.Clock;

namespace StageView.Live.Network;

/// <summary>How far apart two timecodes run, for the page at once and for the journal when it has changed for good.</summary>
internal sealed class TimecodeDrift(TimeProvider clock, NightJournal journal)
{
    /// <summary>Frames that buffers and packets on their way explain.</summary>
    private const int Jitter = 2;

    // A change is told once it has stood for some looks, and not again within a minute.
    private const int LooksOfStanding = 4;
    private static readonly TimeSpan s_between = TimeSpan.FromMinutes(1);
    private TimeSpan _told;
    private long? _toldAt;
    private TimeSpan _seen;
    private int _looks;

    /// <summary>In words, where both run: <c>2 frames behind ArtTimeCode</c>.</summary>
    public static string? Words(Timecode? ltc, Timecode? art) => ltc is { } a && art is { } b ? Apart(b.TimeTo(a), a.Rate) + " ArtTimeCode" : null;

    /// <summary>Looks once.</summary>
    public void Look(Timecode? ltc, Timecode? art)
    {
        if (ltc is not { } a || art is not { } b)
        {
            _looks = 0;
            return;
        }

        var apart = b.TimeTo(a);
        var jitter = TimeSpan.FromSeconds((Jitter + .5) * Timecode.FrameSeconds(a.Rate));
        _looks = _looks > 0 && (apart - _seen).Duration() <= jitter ? _looks + 1 : 1;
        _seen = _looks == 1 ? apart : _seen;
        if (_looks < LooksOfStanding || (apart - _told).Duration() <= jitter || (_toldAt is { } at && clock.GetElapsedTime(at) < s_between))
        {
            return;
        }

        journal.Say("network", _toldAt is null ? $"LTC runs {Apart(apart, a.Rate)} ArtTimeCode"
            : $"LTC drifts: {Apart(apart, a.Rate)} ArtTimeCode now, {Apart(_told, a.Rate)} it before");
        (_told, _toldAt) = (apart, clock.GetTimestamp());
    }

    private static string Apart(TimeSpan apart, TimecodeRate rate)
    {
        var frames = (int)Math.Round(apart.Duration().TotalSeconds / Timecode.FrameSeconds(rate));
        if (frames <= Jitter)
        {
            return "with";
        }

        var by = frames < 10 * Timecode.Count(rate) ? $"{frames} frames" : apart.Duration().ToString(@"h\:mm\:ss\.f", CultureInfo.InvariantCulture);
        return $"{by} {(apart > TimeSpan.Zero ? "ahead of" : "behind")}";
    }
}
