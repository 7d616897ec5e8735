using StageView.Ground.Indices;
using StageView.Rig.Pieces;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Stage.State;
using StageView.Wire.Clock;

namespace StageView.Show.Load;

/// <summary>
/// Power of a show from its levels. A fixture's level is that of its dimmers (mean of several), times the mean of its additive colours where it has some,
/// times 0 while an electronic shutter is closed; of pixels the mean luminance beside that of all at full. Where the profile says no curve, power follows
/// the level in proportion: an assumption, told as such.
/// </summary>
public static class LoadRun
{
    /// <param name="source">The show; all of it is fed.</param>
    /// <param name="step">Between the times looked at, s, .02 to 1.</param>
    /// <param name="cold">Whether lamps were struck when the show begins.</param>
    /// <param name="track">For labels; null for none.</param>
    /// <param name="end">The show's last time, s.</param>
    public static LoadAnswer Run(ShowSource source, double step, bool cold, TimecodeTrack? track, double end)
    {
        ArgumentNullException.ThrowIfNull(source);
        var rig = source.Stage.Rig;
        var fulls = PixelFulls(rig);
        var lines = rig.Fixtures.Select(f => (f.Feed, f.Phase)).Distinct().Order().ToList();
        var line = rig.Fixtures.Select(f => lines.IndexOf((f.Feed, f.Phase))).ToArray();
        var feeds = lines.Select(l => l.Feed).Distinct().ToList();
        var books = lines.Select(_ => new LoadBook(step)).ToList();
        var amps = lines.Select(_ => new LoadBook(step)).ToList();
        var byFeed = feeds.Select(_ => (Power: new LoadBook(step), Neutral: new LoadBook(step))).ToList();
        var peaks = new (double Amps, double At)[lines.Count];
        var all = new LoadBook(step);
        var volts = lines.Select(l => Named(rig, l.Feed).Volts).ToArray();
        for (var i = 0; (i + .5) * step <= end; i++)
        {
            // Each look stands for the stretch around it.
            var (t, look) = (i * step, TimeSpan.FromSeconds((i + .5) * step));
            source.FeedTo(look);
            var pixels = PixelMeans(source.Stage, look);
            var (watts, current, peak) = (new double[lines.Count], new double[lines.Count], new double[lines.Count]);
            foreach (var f in rig.Fixtures.Where(f => f.Profile.PowerWatts is not null))
            {
                var state = source.Stage.StateOf(f.Index, look);
                var level = f.Mode.PixelBlocks.Count > 0 && fulls.TryGetValue(f.Index, out var full) && full > 0
                    ? Math.Min(1, pixels.GetValueOrDefault(f.Index) / full) : Level(state);
                var (power, load) = (f.Profile.PowerWatts!.Value, f.Profile.Load);
                var now = FixturePower.Watts(power, load, level, cold ? t : null);
                var place = line[f.Index.Value];
                var factor = load?.PowerFactor ?? 1;
                watts[place] += now;
                current[place] += ThreePhase.Amps(now, volts[place], factor);
                peak[place] += ThreePhase.Amps(Math.Max(now, level > 0 && Flashes(state) ? load?.PeakWatts ?? power : 0), volts[place], factor);
            }

            for (var l = 0; l < lines.Count; l++)
            {
                books[l].Add(t, watts[l]);
                amps[l].Add(t, current[l]);
                peaks[l] = peak[l] > peaks[l].Amps ? (peak[l], t) : peaks[l];
            }

            for (var n = 0; n < feeds.Count; n++)
            {
                double Of(double[] what, int phase) => lines.Zip(what).Where(x => x.First.Feed == feeds[n] && x.First.Phase == phase).Sum(x => x.Second);
                byFeed[n].Power.Add(t, Enumerable.Range(0, 4).Sum(p => Of(watts, p)));
                byFeed[n].Neutral.Add(t, ThreePhase.Neutral(Of(current, 1), Of(current, 2), Of(current, 3)));
            }

            all.Add(t, watts.Sum());
        }

        string? Label(double at) => track?.LabelAt(TimeSpan.FromSeconds(at))?.ToString();
        WorstSecond Worst(LoadBook book) => new(Kilo(book.Worst.Watts), Math.Round(book.Worst.At, 3), Label(book.Worst.At));
        double FullOf(Func<Fixture, bool> which) => Kilo(rig.Fixtures.Where(which).Sum(f => f.Profile.PowerWatts ?? 0));
        return new LoadAnswer(Math.Round(end, 3), Kwh(all), Kilo(all.Mean), FullOf(_ => true), Worst(all),
            [.. feeds.Select((feed, n) =>
            {
                var named = Named(rig, feed);
                return new FeedLoad(feed, named.Volts, named.Amps, [.. lines.Select((l, i) => (l, i)).Where(x => x.l.Feed == feed).Select(x => new PhaseLoad(
                        x.l.Phase, line.Count(p => p == x.i), FullOf(f => line[f.Index.Value] == x.i), Kilo(books[x.i].Mean), Worst(books[x.i]),
                        Math.Round(amps[x.i].Worst.Watts, 2), Math.Round(peaks[x.i].Amps, 2), Math.Round(peaks[x.i].At, 3), Kwh(books[x.i])))],
                    Kwh(byFeed[n].Power), Worst(byFeed[n].Power), Math.Round(byFeed[n].Neutral.Worst.Watts, 2), Math.Round(byFeed[n].Neutral.Worst.At, 3));
            })],
            [.. lines.Select((l, i) => new LoadRow(l.Feed, l.Phase, [.. books[i].Row.Select(Kilo)]))], all.RowSeconds,
            Types(rig, f => f.Profile.PowerWatts is null), Types(rig, f => f.Profile is { PowerWatts: not null, Load: null }),
            rig.Fixtures.Count(f => f.Phase == 0 && f.Profile.PowerWatts is not null), source.Doubts);
    }

    private static double Level(FixtureState state)
    {
        var (dim, dims, colour, colours, gate) = (0.0, 0, 0.0, 0, 1.0);
        foreach (var a in state.Attributes)
        {
            if (a.Op == Stage.Programs.AttributeOp.Dimmer)
            {
                (dim, dims) = (dim + a.Now, dims + 1);
            }
            else if (a.Attribute.StartsWith("ColorAdd", StringComparison.Ordinal))
            {
                (colour, colours) = (colour + a.Now, colours + 1);
            }
            else if (a.Op == Stage.Programs.AttributeOp.Shutter)
            {
                gate = Math.Min(gate, a.Now);
            }
        }

        return Math.Clamp((dims > 0 ? dim / dims : 1) * (colours > 0 ? colour / colours : 1) * gate, 0, 1);
    }

    private static bool Flashes(FixtureState state) =>
        state.Attributes.Any(a => a.Op is >= Stage.Programs.AttributeOp.Strobe and <= Stage.Programs.AttributeOp.StrobeFrequency && a.Now > 0);

    private static Dictionary<FixtureIndex, double> PixelFulls(RigScene rig)
    {
        var pixels = rig.Fixtures.Where(f => f.Mode.PixelBlocks.Count > 0).Select(f => f.Name).ToList();
        if (pixels.Count == 0)
        {
            return [];
        }

        using var full = new FullShow(rig, null, pixels);
        return PixelMeans(full.Stage, TimeSpan.Zero);
    }

    private static Dictionary<FixtureIndex, double> PixelMeans(StageModel stage, TimeSpan at)
    {
        var sums = new Dictionary<FixtureIndex, (double Sum, int Count)>();
        if (!stage.Rig.Fixtures.Any(f => f.Mode.PixelBlocks.Count > 0))
        {
            return [];
        }

        var moment = stage.MomentAt(at, bounces: 0);
        foreach (ref readonly var s in moment.PixelSurfaces.Span)
        {
            var (sum, count) = sums.GetValueOrDefault(s.Fixture);
            foreach (ref readonly var p in moment.Pixels.Span.Slice(s.FirstPixel, s.Columns * s.Rows))
            {
                sum += (.2126 * p.X) + (.7152 * p.Y) + (.0722 * p.Z);
                count++;
            }

            sums[s.Fixture] = (sum, count);
        }

        return sums.ToDictionary(s => s.Key, s => s.Value.Sum / Math.Max(1, s.Value.Count));
    }

    private static PowerFeed Named(RigScene rig, string feed) =>
        rig.Feeds.FirstOrDefault(f => f.Name == feed) ?? new PowerFeed(feed, PowerFeed.UsualVolts, null);

    private static List<string> Types(RigScene rig, Func<Fixture, bool> which) => [.. rig.Fixtures.Where(which).Select(f => f.Profile.Name).Distinct()];

    private static double Kilo(double watts) => Math.Round(watts / 1000, 4);

    private static double Kwh(LoadBook book) => Math.Round(book.Joules / 3.6e6, 5);
}
