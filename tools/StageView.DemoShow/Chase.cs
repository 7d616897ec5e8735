using System.Text.Json;
using StageView.Rig.Pieces;
using StageView.Stage.Levels;
using StageView.Stage.Looks;

namespace StageView.DemoShow;

/// <summary>
/// An attribute that runs through a selection: <c>low</c> to <c>high</c>, one <c>period</c> in seconds, shifted along the selection by <c>spread</c> periods.
/// </summary>
internal sealed class Chase
{
    private readonly IReadOnlyList<Fixture> _fixtures;
    private readonly string _attribute, _shape, _path;
    private readonly double _from, _to, _low, _high, _period, _spread, _width, _fade;
    private readonly int _seed;

    private Chase(IReadOnlyList<Fixture> fixtures, JsonElement e, string path, int seed)
    {
        (_fixtures, _path, _seed) = (fixtures, path, seed);
        _attribute = Show.Text(e, "attribute", "Dimmer");
        _shape = Show.Text(e, "shape", "sine");
        (_from, _to) = (Show.Number(e, "from", 0), Show.Number(e, "to", 0));
        (_low, _high) = (Show.Number(e, "low", 0), Show.Number(e, "high", 1));
        (_period, _spread) = (Show.Number(e, "period", 1), Show.Number(e, "spread", 1));
        (_width, _fade) = (Show.Number(e, "width", .5), Show.Number(e, "fade", 0));
    }

    public static Chase? Read(RigScene rig, JsonElement e, string path, int seed, List<LookProblem> problems)
    {
        if (FixtureSelection.TryFind(rig, Show.Text(e, "fixtures"), out var fixtures, out var why))
        {
            return new Chase(fixtures, e, path, seed);
        }

        problems.Add(new(path + ".fixtures", why));
        return null;
    }

    public void Apply(LevelsEncoder levels, double t, List<LookProblem> problems)
    {
        if (t < _from || t >= _to)
        {
            return;
        }

        var envelope = _fade <= 0 ? 1 : Math.Clamp(Math.Min((t - _from) / _fade, (_to - t) / _fade), 0, 1);
        for (var i = 0; i < _fixtures.Count; i++)
        {
            var phase = ((t - _from) / _period) - (_spread * i / _fixtures.Count);
            var x = phase - Math.Floor(phase);
            var wave = _shape switch
            {
                "saw" => 1 - x,
                "pulse" => x < _width ? 1 : 0,
                "swing" => 1 - Math.Abs((2 * x) - 1),
                "random" => PixelNoise.At(_seed, i, (int)Math.Floor(phase + (_spread * i / _fixtures.Count))) < _width ? 1 : 0,
                _ => .5 - (.5 * Math.Cos(2 * Math.PI * x)),
            };
            if (!levels.TrySet(_fixtures[i], _attribute, (float)(_low + ((_high - _low) * wave * envelope)), out var why))
            {
                problems.Add(new(_path, why));
                return;
            }
        }
    }
}
