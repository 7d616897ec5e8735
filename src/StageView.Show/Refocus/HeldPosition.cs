using StageView.Ground.Indices;
using StageView.Stage.Moves;

namespace StageView.Show.Refocus;

/// <summary>A pan and tilt at which a fixture stands still while lit, once or more often.</summary>
/// <param name="Fixture">Index in the rig that it was found in.</param>
/// <param name="Number">From 1, in the order in which the fixture first takes them.</param>
/// <param name="Pan">Degrees of its own axis, as held longest.</param>
/// <param name="Tilt">Degrees of its own axis.</param>
/// <param name="Uses">When, in order of time.</param>
public sealed record HeldPosition(FixtureIndex Fixture, int Number, float Pan, float Tilt, IReadOnlyList<HeldStretch> Uses)
{
    /// <summary>Stretches whose pan and tilt lie nearer to each other are one position, degrees.</summary>
    public const double Apart = .5;

    /// <summary>A time at which it is held: the middle of the longest use, s.</summary>
    public double At
    {
        get
        {
            var longest = Uses.MaxBy(u => u.Seconds)!;
            return (longest.From + longest.To) / 2;
        }
    }

    /// <summary>The distinct positions of each fixture, fixture by fixture.</summary>
    public static IReadOnlyList<HeldPosition> Of(IEnumerable<HeldStretch> held) =>
        [.. held.GroupBy(h => h.Fixture).OrderBy(g => g.Key).SelectMany(g => OfOne([.. g.OrderBy(h => h.From)]))];

    /// <remarks>The longest use comes first and draws in what lies near it, so that a position is where the fixture really rests.</remarks>
    private static IEnumerable<HeldPosition> OfOne(List<HeldStretch> all)
    {
        var groups = new List<List<HeldStretch>>();
        foreach (var h in all.OrderByDescending(h => h.Seconds))
        {
            var near = groups.FirstOrDefault(g => Math.Abs(g[0].Pan - h.Pan) <= Apart && Math.Abs(g[0].Tilt - h.Tilt) <= Apart);
            if (near is null)
            {
                groups.Add([h]);
            }
            else
            {
                near.Add(h);
            }
        }

        return groups.OrderBy(g => g.Min(h => h.From))
            .Select((g, i) => new HeldPosition(g[0].Fixture, i + 1, g[0].Pan, g[0].Tilt, [.. g.OrderBy(h => h.From)]));
    }
}
