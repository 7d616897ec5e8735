using System.Diagnostics.Metrics;
using StageView.Wire.Sockets;
using StageView.Wire.Tallies;

namespace StageView.Wire.Health;

/// <summary>
/// The same counts as metrics of .NET's own kind, meter <c>StageView.Wire</c>, for any OpenTelemetry exporter or <c>dotnet-counters</c>:
/// packets by outcome, kernel drops, live sources and packets by universe.
/// </summary>
public sealed class WireMeters : IDisposable
{
    public const string MeterName = "StageView.Wire";

    private readonly Meter _meter = new(MeterName);
    private readonly LiveSource _source;

    public WireMeters(LiveSource source)
    {
        ArgumentNullException.ThrowIfNull(source);
        _source = source;
        _meter.CreateObservableCounter("stageview.wire.packets", Packets, "{packet}", "Datagrams by what became of them");
        _meter.CreateObservableCounter("stageview.wire.kernel_drops", () => Math.Max(0, source.KernelDrops), "{packet}",
            "Datagrams that the kernel dropped for want of buffer");
        _meter.CreateObservableCounter("stageview.wire.universe.packets", ByUniverse, "{packet}", "Packets of levels by universe");
        _meter.CreateObservableGauge("stageview.wire.universe.sources", Live, "{source}", "Live sources by universe");
    }

    public void Dispose() => _meter.Dispose();

    private IEnumerable<Measurement<long>> Packets()
    {
        var c = _source.Read(m => (m.Counters.Taken, m.Counters.Malformed, m.Counters.Ignored, m.Counters.Duplicates, m.Counters.OutOfOrder, m.Counters.Missing,
            m.Counters.NoRoom));
        return
        [
            Of(c.Taken, "taken"), Of(c.Malformed, "malformed"), Of(c.Ignored, "ignored"), Of(c.Duplicates, "duplicate"),
            Of(c.OutOfOrder, "out_of_order"), Of(c.Missing, "missing"), Of(c.NoRoom, "no_room"),
        ];
    }

    private static Measurement<long> Of(long value, string outcome) => new(value, new KeyValuePair<string, object?>("outcome", outcome));

    private IEnumerable<Measurement<long>> ByUniverse() =>
        _source.Read(m => m.Health()).Universes.Select(
            u => new Measurement<long>(u.Sources.Sum(s => s.Packets), new KeyValuePair<string, object?>("universe", u.Universe)));

    private IEnumerable<Measurement<int>> Live() =>
        _source.Read(m => m.Health()).Universes.Select(
            u => new Measurement<int>(u.Sources.Count(s => s.Standing == SourceStanding.Live), new KeyValuePair<string, object?>("universe", u.Universe)));
}
