using StageView.Rig.Pieces;
using StageView.Rig.Source;
using StageView.Stage.Levels;
using StageView.Stage.Looks;

namespace StageView.Stage.Cues;

/// <summary>
/// An attribute that runs through a selection: <c>low</c> to <c>high</c>, one <c>period</c> in seconds, shifted along the selection by <c>spread</c> periods.
/// </summary>
internal sealed class CueChase
{
    private readonly List<Fixture> _fixtures;
    private readonly int _count;
    private readonly string _attribute, _shape;
    private readonly double _from, _to, _low, _high, _period, _spread, _width, _fade;
    private readonly int _seed;

    private CueChase(List<Fixture> fixtures, int count, SourceNode e, double from, double to, double period, double fade, int seed)
    {
        (_fixtures, _count, _seed, _from, _to) = (fixtures, count, seed, from, to);
        _attribute = LookSetter.AttributeOf(e.TextOr("attribute", "Dimmer"));
        _shape = e.TextOr("shape", "sine");
        (_low, _high) = (e.DoubleOr("low", 0), e.DoubleOr("high", 1));
        (_period, _spread) = (period, e.DoubleOr("spread", 1));
        (_width, _fade) = (e.DoubleOr("width", .5), fade);
    }

    public static IReadOnlyList<string> Shapes { get; } = ["sine", "saw", "pulse", "swing", "random"];

    /// <summary>Fixtures that can't do it are warned of and stay out.</summary>
    /// <param name="probe">An encoder whose levels don't matter.</param>
    public static CueChase? Read(LevelsEncoder probe, SourceNode e, CueClock clock, int seed, ProblemList problems)
    {
        if (!CueSpan.TryRead(e, clock, problems, out var from, out var to) || LookSetter.Select(probe.Rig, e, problems) is not { } fixtures)
        {
            return null;
        }

        var chase = new CueChase([.. fixtures], fixtures.Count, e, from, to, clock.SecondsOr(e, "period", 1, problems),
            clock.SecondsOr(e, "fade", 0, problems), seed);
        var first = "";
        var refused = 0;
        foreach (var fixture in fixtures)
        {
            if (!chase.TrySet(probe, fixture, chase._low, out var why) || !chase.TrySet(probe, fixture, chase._high, out why))
            {
                first = refused++ == 0 ? why : first;
            }
        }

        if (refused > 0)
        {
            problems.Warn(e.Get("attribute") ?? e, $"{first}{(refused > 1 ? $"; nor can {refused - 1} more" : "")}");
        }

        return chase;
    }

    public void Apply(LevelsEncoder levels, double t)
    {
        if (t < _from || t >= _to)
        {
            return;
        }

        var envelope = CueSpan.Envelope(t, _from, _to, _fade);
        for (var i = 0; i < _fixtures.Count; i++)
        {
            var phase = ((t - _from) / _period) - (_spread * i / _count);
            var x = phase - Math.Floor(phase);
            var wave = _shape switch
            {
                "saw" => 1 - x,
                "pulse" => x < _width ? 1 : 0,
                "swing" => 1 - Math.Abs((2 * x) - 1),
                "random" => PixelNoise.At(_seed, i, (int)Math.Floor(phase + (_spread * i / _count))) < _width ? 1 : 0,
                _ => .5 - (.5 * Math.Cos(2 * Math.PI * x)),
            };
            TrySet(levels, _fixtures[i], _low + ((_high - _low) * wave * envelope), out _);
        }
    }

    private bool TrySet(LevelsEncoder levels, Fixture fixture, double value, out string why) =>
        _attribute == "Dimmer" ? levels.TryDim(fixture, (float)value, out why) : levels.TrySet(fixture, _attribute, (float)value, out why);
}
