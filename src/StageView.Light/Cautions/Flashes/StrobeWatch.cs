using System.Numerics;
using StageView.Light.Beams;
using StageView.Light.Cautions.Limits;
using StageView.Light.Measure;
using StageView.Light.Moments;

namespace StageView.Light.Cautions.Flashes;

/// <summary>
/// The rate of strobes as the trade counts it: how often a second each fixture's light falls below a share of its brightest and comes back, whatever channel
/// does it. A fixture that is dark never counts. Fed with the light that leaves each fixture moment after moment; constant memory.
/// </summary>
/// <remarks>Rates above a quarter of the feeding rate are not seen: a fixture's own strobe rate, where the levels tell it, is better read there.</remarks>
public sealed class StrobeWatch
{
    /// <summary>Spells further apart than this are told apart, s.</summary>
    public const double SpellGap = 1;

    /// <summary>More spells than this are counted but not kept one by one: those with the highest rates stay.</summary>
    public const int MostSpells = 256;

    private readonly CautionLimits _limits;
    private readonly OpposingChanges[] _trackers;
    private readonly EventRings _rings;
    private readonly double[] _lastEvent;
    private readonly double[] _rates;
    private readonly StrobeSpell?[] _open;
    private readonly List<StrobeSpell> _spells = [];
    private double _last = double.NegativeInfinity;

    /// <param name="fixtures">How many the rig has.</param>
    /// <param name="limits">Rate, share and least lumens; null for the defaults.</param>
    public StrobeWatch(int fixtures, CautionLimits? limits = null)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(fixtures);
        _limits = limits ?? CautionLimits.Default;
        (_trackers, _rings, _lastEvent, _rates, _open) = (new OpposingChanges[fixtures], new EventRings(fixtures), new double[fixtures],
            new double[fixtures], new StrobeSpell?[fixtures]);
        Array.Fill(_lastEvent, double.NegativeInfinity);
    }

    /// <summary>The spells above the limit, by time.</summary>
    public IReadOnlyList<StrobeSpell> Spells => [.. _spells.Concat(_open.OfType<StrobeSpell>()).OrderBy(s => s.From).ThenBy(s => s.Fixture)];

    /// <summary>How many spells there were, kept or not.</summary>
    public int SpellCount { get; private set; }

    /// <summary>The highest rate a fixture had, allowed or not, flashes a second (a lone double flash has none).</summary>
    public double HighestRate(int fixture) => _rates[fixture];

    /// <summary>The light that leaves each fixture, lm: direct beams, lasers, and pixel surfaces (π·L·A each side that shines; 4π²·L·R² a globe).</summary>
    public static void Lumens(Moment moment, Span<float> fixtures)
    {
        ArgumentNullException.ThrowIfNull(moment);
        fixtures.Clear();
        foreach (ref readonly var b in moment.Beams.Span)
        {
            if (b.Bounces == 0 && (uint)b.Fixture.Value < (uint)fixtures.Length)
            {
                fixtures[b.Fixture.Value] += b.FluxLumens;
            }
        }

        foreach (ref readonly var l in moment.Lasers.Span)
        {
            if (l.Bounces == 0 && (uint)l.Fixture.Value < (uint)fixtures.Length)
            {
                fixtures[l.Fixture.Value] += l.FluxLumens;
            }
        }

        foreach (ref readonly var s in moment.PixelSurfaces.Span)
        {
            if ((uint)s.Fixture.Value >= (uint)fixtures.Length || s.Columns * s.Rows == 0 || LightMeter.IsLampInside(moment, s))
            {
                continue;
            }

            var sum = 0f;
            foreach (var pixel in moment.Pixels.Span.Slice(s.FirstPixel, s.Columns * s.Rows))
            {
                sum += BeamPhotometry.Luminance(pixel);
            }

            var area = s.Shape == PixelShape.Globe
                ? MathF.PI * s.EdgeU.LengthSquared()
                : Vector3.Cross(s.EdgeU, s.EdgeV).Length() * s.Fill * s.Fill;
            fixtures[s.Fixture.Value] += sum / (s.Columns * s.Rows) * MathF.PI * area;
        }
    }

    /// <summary>The next moment.</summary>
    /// <param name="seconds">Show time, s, not before the last one.</param>
    /// <param name="lumens">Light that leaves each fixture, lm (see <see cref="Lumens"/>).</param>
    public void Add(double seconds, ReadOnlySpan<float> lumens)
    {
        if (lumens.Length != _trackers.Length)
        {
            throw new ArgumentException($"{lumens.Length} fluxes for {_trackers.Length} fixtures", nameof(lumens));
        }

        if (!(seconds >= _last))
        {
            throw new ArgumentException($"time {seconds} s comes after {_last} s", nameof(seconds));
        }

        _last = seconds;
        for (var i = 0; i < lumens.Length; i++)
        {
            var sign = _trackers[i].StepRatio(lumens[i], (float)_limits.StrobeDarkShare, (float)_limits.StrobeLeastLumens);
            if (sign == 0)
            {
                continue;
            }

            _rings.Add(i, sign, seconds);
            _lastEvent[i] = seconds;
            var rate = _rings.Rate(i, seconds);
            var flashes = _rings.Flashes(i, seconds);
            _rates[i] = flashes > 1 ? Math.Max(_rates[i], rate) : _rates[i];
            if (flashes > _limits.StrobeRate)
            {
                Keep(i, _rings.Earliest(i, seconds), seconds, rate);
            }
        }
    }

    private void Keep(int fixture, double from, double to, double rate)
    {
        if (_open[fixture] is { } open && from - open.To <= SpellGap)
        {
            _open[fixture] = open with { To = to, Rate = Math.Max(open.Rate, rate) };
            return;
        }

        if (_open[fixture] is { } done)
        {
            _spells.Add(done);
            if (_spells.Count > MostSpells)
            {
                _spells.Remove(_spells.MinBy(s => s.Rate)!);
            }
        }

        SpellCount++;
        _open[fixture] = new StrobeSpell(fixture, from, to, rate);
    }
}
