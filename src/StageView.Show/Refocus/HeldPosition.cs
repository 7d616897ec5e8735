using StageView.Ground.Indices;
using StageView.Rig.Profiles;
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

    /// <summary>What carries it stands elsewhere from so far on, m.</summary>
    private const float Elsewhere = .02f;

    /// <summary>Where the axes of what carries it stand, the nearest first.</summary>
    public IReadOnlyList<HeldAxis> Riding => Uses.MaxBy(u => u.Seconds)!.Riding;

    /// <summary>The different zooms and focuses held, the longest held first; those within half a degree, and a hundredth of the focus, are one.</summary>
    public IReadOnlyList<HeldOptics> Optics
    {
        get
        {
            var found = new List<HeldOptics>();
            foreach (var o in Uses.SelectMany(u => u.Optics).OrderByDescending(o => o.Seconds))
            {
                if (!found.Exists(f => Near(f.Zoom, o.Zoom, (float)Apart) && Near(f.Focus, o.Focus, .01f * MathF.Abs(o.Focus ?? 0))))
                {
                    found.Add(o);
                }
            }

            return found;

            static bool Near(float? a, float? b, float within) => a is null == b is null && MathF.Abs((a ?? 0) - (b ?? 0)) <= within;
        }
    }

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
            var near = groups.FirstOrDefault(g => Math.Abs(g[0].Pan - h.Pan) <= Apart && Math.Abs(g[0].Tilt - h.Tilt) <= Apart
                && RidesAlike(g[0], h));
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

    private static bool RidesAlike(HeldStretch a, HeldStretch b) =>
        a.Riding.Zip(b.Riding).All(r => MathF.Abs(r.First.Value - r.Second.Value) <= (r.First.Motion == AxisMotion.TravelZ ? Elsewhere : Apart));
}
