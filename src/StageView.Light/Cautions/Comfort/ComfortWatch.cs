using StageView.Light.Cautions.Series;

namespace StageView.Light.Cautions.Comfort;

/// <summary>How bright it is towards a place over time: illuminance at the eye and the luminances it sees, with the worst moments. Constant memory.</summary>
public sealed class ComfortWatch
{
    /// <summary>Moments of one such time are one, at its brightest, s.</summary>
    public const double MomentSeconds = 1;

    /// <summary>So many of the worst are kept.</summary>
    public const int Worst = 10;

    private readonly Peaks _lux = new();
    private readonly Peaks _luminance = new();

    /// <summary>Illuminance of the plane across the gaze, lx.</summary>
    public DecimatedSeries Illuminance { get; } = new();

    /// <summary>Brightest cell of the field, cd/m².</summary>
    public DecimatedSeries BrightestLuminance { get; } = new();

    /// <summary>Mean luminance of the field, cd/m².</summary>
    public DecimatedSeries MeanLuminance { get; } = new();

    /// <summary>The ten moments with the most light on the eye, worst first.</summary>
    public IReadOnlyList<BrightMoment> WorstIlluminances => _lux.Sorted;

    /// <summary>The ten moments with the brightest cells, worst first.</summary>
    public IReadOnlyList<BrightMoment> WorstLuminances => _luminance.Sorted;

    /// <summary>The next moment; times must not run backwards.</summary>
    /// <param name="seconds">s.</param>
    /// <param name="lux">Illuminance of the plane across the gaze, lx.</param>
    /// <param name="brightest">Brightest cell, cd/m².</param>
    /// <param name="mean">Mean of the field, cd/m².</param>
    public void Add(double seconds, double lux, double brightest, double mean)
    {
        Illuminance.Add(seconds, lux);
        BrightestLuminance.Add(seconds, brightest);
        MeanLuminance.Add(seconds, mean);
        var moment = new BrightMoment(seconds, lux, brightest, mean);
        _lux.Add(moment, lux);
        _luminance.Add(moment, brightest);
    }

    private sealed class Peaks
    {
        private readonly List<(BrightMoment Moment, double Value)> _kept = [];
        private (BrightMoment Moment, double Value)? _open;

        public IReadOnlyList<BrightMoment> Sorted =>
            [.. All().OrderByDescending(p => p.Value).ThenBy(p => p.Moment.Seconds).Take(Worst).Select(p => p.Moment)];

        public void Add(BrightMoment moment, double value)
        {
            if (_open is { } open && moment.Seconds - open.Moment.Seconds <= MomentSeconds)
            {
                _open = value > open.Value ? (moment, value) : open;
                return;
            }

            if (_open is { } done)
            {
                Close(done);
            }

            _open = (moment, value);
        }

        private void Close((BrightMoment Moment, double Value) peak)
        {
            _kept.Add(peak);
            if (_kept.Count > Worst)
            {
                _kept.Remove(_kept.MinBy(p => p.Value));
            }
        }

        private IEnumerable<(BrightMoment Moment, double Value)> All() => _open is { } open ? _kept.Append(open) : _kept;
    }
}
