namespace StageView.Rig.Scene;

/// <summary>Who uses which address.</summary>
internal sealed class AddressMap
{
    private readonly Dictionary<int, HungFixture?[]> _universes = [];

    /// <summary>Takes stretches for a fixture; gives the first clash with each other fixture.</summary>
    public List<(HungFixture Other, int Address)> Take(HungFixture fixture, IEnumerable<(int From, int Count)> stretches)
    {
        var clashes = new List<(HungFixture, int)>();
        var told = new HashSet<HungFixture>();
        foreach (var (from, count) in stretches)
        {
            for (var a = from; a < from + count; a++)
            {
                if (!_universes.TryGetValue(a / 512, out var universe))
                {
                    _universes[a / 512] = universe = new HungFixture?[512];
                }

                ref var owner = ref universe[a % 512];
                if (owner is null)
                {
                    owner = fixture;
                }
                else if (owner != fixture && told.Add(owner))
                {
                    clashes.Add((owner, a));
                }
            }
        }

        return clashes;
    }
}
