using System.Net;
using System.Runtime.InteropServices;
using StageView.Ground.Files;
using StageView.Show;
using StageView.Show.Pixels;
using StageView.Show.Sources;
using StageView.Wire.Capture;

namespace StageView.App.Sending;

/// <summary>Corrected levels of a stretch of the show, written to a file or sent.</summary>
internal sealed class CorrectedRun
{
    private readonly CorrectedLevels _levels;
    private readonly TimeSpan _from;
    private readonly TimeSpan _to;
    private readonly int _rate;
    private readonly TimeSpan _latency;

    /// <param name="question">The map, and which content.</param>
    /// <param name="source">Where levels come from.</param>
    /// <param name="rate">Frames a second, 1 to 44.</param>
    /// <param name="latency">Until their light leaves the panels, ms, 0 to 10000.</param>
    /// <param name="asked">Times asked for: from the earliest to the latest, or from the start to the only one.</param>
    /// <exception cref="StopException">Out of range, no content was named, or no pixel of the map has an address.</exception>
    public CorrectedRun(PixelsQuestion question, ShowSource source, int rate, double latency, IReadOnlyList<(TimeSpan Time, string Label)> asked)
    {
        if (rate is < 1 or > 44 || !(latency is >= 0 and <= 10_000))
        {
            throw StopException.Wrong("--rate goes from 1 to 44, --latency from 0 to 10000 ms");
        }

        _levels = new CorrectedLevels(question, source);
        (_from, _to) = (asked.Count > 1 ? asked.Min(t => t.Time) : TimeSpan.Zero, asked.Max(t => t.Time));
        (_rate, _latency) = (rate, TimeSpan.FromMilliseconds(latency));
    }

    /// <summary>Writes them to a capture.</summary>
    public CorrectedReport Write(string file)
    {
        CorrectedReport? report = null;
        WholeFile.Write(file, stream => report = _levels.Write(stream, _from, _to, _rate, _latency));
        return report!;
    }

    /// <summary>Sends them, until the end or the token; a terminal that is closed or lost ends it as well. Streams are ended in any case.</summary>
    /// <exception cref="SendException">The address can't be reached.</exception>
    public SentReport Send(IPAddress to, CancellationToken stop)
    {
        using var ended = CancellationTokenSource.CreateLinkedTokenSource(stop);
        using var hangUp = PosixSignalRegistration.Create(PosixSignal.SIGHUP, signal =>
        {
            signal.Cancel = true;
            ended.Cancel();
        });
        using var sender = new StreamSender(to);
        return _levels.Send(sender, _from, _to, _rate, _latency, TimeProvider.System, ended.Token);
    }
}
