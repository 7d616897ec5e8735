using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Levels;
using StageView.Stage.Programs;

namespace StageView.Stage.Changes;

/// <summary>
/// Mean level of each colour component over all pixel fixtures of one profile: content that runs over a wall hardly moves it, a wall that lights up,
/// goes dark or turns to another colour does. A mean counts as moved once it is <see cref="Band"/> levels off where it last stood.
/// </summary>
internal sealed class PixelMeans
{
    /// <summary>Levels that moving content may sway a mean by without a change.</summary>
    public const int Band = 12;

    private readonly int[] _groupOf;
    private readonly List<long> _sums = [];
    private readonly List<string> _names = [];
    private readonly List<int> _counts = [];
    private readonly List<int> _stands = [];
    private readonly HashSet<int> _touched = [];

    /// <param name="rig">The rig.</param>
    /// <param name="map">Its universes.</param>
    /// <param name="watched">Places that are watched one by one already.</param>
    public PixelMeans(RigScene rig, UniverseMap map, bool[] watched)
    {
        _groupOf = new int[watched.Length];
        Array.Fill(_groupOf, -1);
        var groups = new Dictionary<(FixtureProfile, char), int>();
        var programs = new Dictionary<FixtureMode, ModeProgram>(ReferenceEqualityComparer.Instance);
        foreach (var fixture in rig.Fixtures.Where(f => f.Mode.PixelBlocks.Count > 0))
        {
            if (!programs.TryGetValue(fixture.Mode, out var program))
            {
                programs[fixture.Mode] = program = new ModeProgram(fixture.Profile, fixture.Mode);
            }

            foreach (var emitter in program.Emitters.Where(e => e.Block is not null))
            {
                var places = PixelWiring.Locate(emitter, fixture, map);
                var order = emitter.Block!.Order;
                for (var i = 0; i < places.Length; i++)
                {
                    if (places[i] >= 0 && !watched[places[i]] && _groupOf[places[i]] < 0)
                    {
                        var key = (fixture.Profile, order[i % order.Length]);
                        if (!groups.TryGetValue(key, out var group))
                        {
                            groups[key] = group = _sums.Count;
                            _sums.Add(0);
                            _counts.Add(0);
                            _stands.Add(0);
                            _names.Add($"{fixture.Profile.Name}\n{key.Item2}");
                        }

                        _groupOf[places[i]] = group;
                        _counts[group]++;
                    }
                }
            }
        }
    }

    public int Count => _sums.Count;

    /// <summary>What each group is: its profile and its colour.</summary>
    public IReadOnlyList<string> Names => _names;

    /// <summary>Takes one component's new level; true when it is a pixel's.</summary>
    public bool Take(int place, byte before, byte after)
    {
        var group = _groupOf[place];
        if (group >= 0)
        {
            _sums[group] += after - before;
            _touched.Add(group);
        }

        return group >= 0;
    }

    /// <summary>
    /// The groups that moved since the last call, with the level they stood at and the new one. Where a universe was heard for the first time nothing moved: it
    /// was so before.
    /// </summary>
    public IEnumerable<(int Group, byte Before, byte After)> Moved(bool first)
    {
        var moved = new List<(int, byte, byte)>();
        foreach (var group in _touched.Order())
        {
            var mean = (int)((_sums[group] + (_counts[group] / 2)) / _counts[group]);
            if (first)
            {
                _stands[group] = mean;
            }
            else if (Math.Abs(mean - _stands[group]) >= Band)
            {
                moved.Add((group, (byte)_stands[group], (byte)mean));
                _stands[group] = mean;
            }
        }

        _touched.Clear();
        return moved;
    }
}
