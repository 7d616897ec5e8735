using StageView.Ground.Indices;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>Turns names of carrying fixtures and parts into indices.</summary>
internal sealed class CarrierResolver
{
    private readonly List<HungFixture> _fixtures;
    private readonly Dictionary<string, int> _byName;
    private readonly ProblemList _problems;
    private readonly Dictionary<(FixtureMode, string), int> _parts = [];

    /// <summary>Fixtures carried one on another.</summary>
    private const int MaxDepth = 64;

    public CarrierResolver(List<HungFixture> fixtures, ProblemList problems)
    {
        _fixtures = fixtures;
        _problems = problems;
        _byName = new Dictionary<string, int>(StringComparer.Ordinal);
        for (var i = 0; i < fixtures.Count; i++)
        {
            _byName.TryAdd(fixtures[i].Name, i);
        }
    }

    public CarrierPart? Resolve(SourceNode carried, int self)
    {
        var name = carried.TextOr("fixture");
        if (!_byName.TryGetValue(name, out var f))
        {
            _problems.Error(carried, $"no fixture named \"{name}\"{Nearest.Hint(name, _byName.Keys)}");
            return null;
        }

        if (f == self)
        {
            _problems.Error(carried, $"\"{name}\" can't carry itself");
            return null;
        }

        var part = carried.TextOr("part");
        var mode = _fixtures[f].Mode;
        if (!_parts.TryGetValue((mode, part), out var index))
        {
            _parts[(mode, part)] = index = mode.Geometry.FirstOrDefault(g => g.Name == part)?.Index ?? -1;
        }

        if (index >= 0)
        {
            return new CarrierPart(new FixtureIndex(f), index);
        }

        _problems.Error(carried, $"\"{name}\" has no part \"{part}\"{Nearest.Hint(part, mode.Geometry.Select(g => g.Name))}");
        return null;
    }

    public void CheckCircles(List<Fixture> fixtures)
    {
        for (var i = 0; i < fixtures.Count; i++)
        {
            var steps = 0;
            for (var c = fixtures[i].Carrier; c is { } part; c = fixtures[part.Fixture.Value].Carrier)
            {
                if (++steps > MaxDepth)
                {
                    _problems.Error(_fixtures[i].Hang, $"\"{fixtures[i].Name}\" is carried in a circle, or by more than {MaxDepth} one on another");
                    return;
                }
            }
        }
    }
}
