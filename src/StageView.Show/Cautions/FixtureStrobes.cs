using StageView.Ground.Indices;
using StageView.Light.Cautions.Flashes;
using StageView.Light.Cautions.Limits;
using StageView.Light.Moments;
using StageView.Rig.Pieces;
using StageView.Stage;

namespace StageView.Show.Cautions;

/// <summary>
/// How fast fixtures flash: by the light that leaves them, whatever channel does it, and by the rate that levels tell a shutter, which holds beyond what steps
/// can see. A fixture that is dark never counts.
/// </summary>
internal sealed class FixtureStrobes
{
    /// <summary>Told rates are read so often, s.</summary>
    private const double ReadSeconds = 0.1;

    private readonly StageModel _stage;
    private readonly CautionLimits _limits;
    private readonly StrobeWatch _light;
    private readonly float[] _lumens;
    private readonly double[] _litAt;
    private readonly int[] _shutters;
    private readonly List<StrobeTime> _told = [];
    private double _readAt = double.NegativeInfinity;

    public FixtureStrobes(StageModel stage, CautionLimits limits)
    {
        (_stage, _limits) = (stage, limits);
        var fixtures = stage.Rig.Fixtures;
        (_light, _lumens, _litAt) = (new StrobeWatch(fixtures.Count, limits), new float[fixtures.Count], new double[fixtures.Count]);
        Array.Fill(_litAt, double.NegativeInfinity);
        _shutters = [.. Enumerable.Range(0, fixtures.Count).Where(i => HasStrobe(fixtures[i]))];
    }

    /// <summary>The next moment, the stage's own at this time.</summary>
    public void Add(double seconds, Moment moment)
    {
        StrobeWatch.Lumens(moment, _lumens);
        _light.Add(seconds, _lumens);
        for (var i = 0; i < _lumens.Length; i++)
        {
            if (_lumens[i] > _limits.StrobeLeastLumens)
            {
                _litAt[i] = seconds;
            }
        }

        if (seconds - _readAt < ReadSeconds - 1e-9)
        {
            return;
        }

        _readAt = seconds;
        foreach (var i in _shutters.Where(i => seconds - _litAt[i] <= 1 / _limits.StrobeRate))
        {
            foreach (var a in _stage.StateOf(new FixtureIndex(i), moment.Time).Attributes)
            {
                // Dark for longer than its own period: the dimmer is down, not the shutter closed between two flashes.
                if (a.Attribute.Contains("Strobe", StringComparison.Ordinal) && a.Unit == "Hz" && a.Now > _limits.StrobeRate
                    && seconds - _litAt[i] <= 1 / a.Now)
                {
                    Keep(_stage.Rig.Fixtures[i].Name, a.Now, seconds);
                }
            }
        }
    }

    /// <summary>Every time above the limit, by time; where light and levels tell of the same, the levels' exact rate stands.</summary>
    public IReadOnlyList<StrobeTime> Times()
    {
        var seen = _light.Spells.Select(s => new StrobeTime(_stage.Rig.Fixtures[s.Fixture].Name, false, s.Rate, s.From, s.To))
            .Where(s => !_told.Exists(t => t.Fixture == s.Fixture && t.From <= s.To && s.From <= t.To));
        return [.. seen.Concat(_told).OrderBy(t => t.From).ThenBy(t => t.Fixture, StringComparer.Ordinal)];
    }

    private static bool HasStrobe(Fixture fixture) =>
        fixture.Mode.Channels.Any(c => c.Functions.Any(f => f.Attribute.Contains("Strobe", StringComparison.Ordinal)));

    private void Keep(string fixture, double rate, double seconds)
    {
        var at = _told.FindLastIndex(t => t.Fixture == fixture);
        if (at >= 0 && seconds - _told[at].To <= StrobeWatch.SpellGap)
        {
            _told[at] = _told[at] with { To = seconds, Rate = Math.Max(_told[at].Rate, rate) };
            return;
        }

        _told.Add(new StrobeTime(fixture, true, rate, seconds, seconds));
    }
}
