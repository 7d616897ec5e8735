using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Measure;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Show.Questions;
using StageView.Stage;
using StageView.Stage.Changes;

namespace StageView.Show.Snap;

/// <summary>Compares where beams land on two stages: in two venues the same place is reached by other pans and tilts.</summary>
/// <param name="first">The first show's stage.</param>
/// <param name="second">The second's.</param>
/// <param name="pairs">For each fixture of the first the same in the second, or none.</param>
/// <param name="apart">Landings nearer to each other are the same, m.</param>
public sealed class LandingComparison(StageModel first, StageModel second, IReadOnlyList<FixtureIndex> pairs, double apart)
{
    /// <summary>What its partings are called.</summary>
    public const string Attribute = "lands";

    private readonly Dictionary<FixtureIndex, Parting> _open = [];
    private readonly List<Parting> _closed = [];

    /// <summary>Which fixture of a rig is which of another, by name and mode; none where there is no such.</summary>
    public static IReadOnlyList<FixtureIndex> Pair(RigScene first, RigScene second)
    {
        var byName = second.Fixtures.GroupBy(f => f.Name, StringComparer.Ordinal).ToDictionary(g => g.Key, g => g.First(), StringComparer.Ordinal);
        return [.. first.Fixtures.Select(f => byName.TryGetValue(f.Name, out var o) && o.Mode.Name == f.Mode.Name && o.Profile.Name == f.Profile.Name
            && o.Mode.Channels.Count == f.Mode.Channels.Count ? o.Index : FixtureIndex.None)];
    }

    /// <summary>Looks at one time of the first show; times come in order.</summary>
    /// <param name="t">Time of the first, s.</param>
    /// <param name="u">Time of the second, s.</param>
    /// <param name="step">Between looks, s.</param>
    public void Look(double t, double u, double step)
    {
        var (a, b) = (Of(first, t), Of(second, u));
        var seen = new HashSet<FixtureIndex>();
        foreach (var (fixture, mine) in a)
        {
            var other = pairs[fixture.Value];
            if (other.IsNone || !b.TryGetValue(other, out var theirs) || (mine.Point is null && theirs.Point is null))
            {
                continue;
            }

            var off = mine.Point is { } p && theirs.Point is { } q ? Vector3.Distance(p, q) : double.PositiveInfinity;
            if (off <= apart)
            {
                continue;
            }

            seen.Add(fixture);
            var now = new Parting
            {
                Fixture = fixture, Name = first.Rig.Fixtures[fixture.Value].Name, Attribute = Attribute, Unit = "m", From = t, To = t, First = 0,
                Second = double.IsFinite(off) ? off : Landings.FarLimit, At = t, FirstText = mine.Text, SecondText = theirs.Text,
            };
            _open[fixture] = !_open.TryGetValue(fixture, out var open) ? now
                : now.Second > open.Second ? now with { From = open.From } : open with { To = t };
        }

        foreach (var (fixture, parting) in _open.Where(o => !seen.Contains(o.Key)).ToList())
        {
            _closed.Add(parting with { To = Math.Max(parting.From, t - step) });
            _open.Remove(fixture);
        }
    }

    public IReadOnlyList<Parting> Finish()
    {
        _closed.AddRange(_open.Values);
        _open.Clear();
        return [.. _closed.OrderBy(p => p.From).ThenBy(p => p.Fixture)];
    }

    /// <summary>Where the brightest light of each lit fixture ends that meets no further mirror.</summary>
    private static Dictionary<FixtureIndex, (Vector3? Point, string Text)> Of(StageModel stage, double t)
    {
        var moment = stage.MomentAt(TimeSpan.FromSeconds(t));
        var scene = OcclusionScene.From(moment);
        var meter = new LightMeter(moment, scene);
        var best = new Dictionary<FixtureIndex, (float Flux, Vector3? Point, string Text)>();
        for (var i = 0; i < moment.Beams.Length; i++)
        {
            var beam = moment[new BeamIndex(i)];
            var flux = beam.FluxLumens * beam.Throughput;
            if (flux <= 0 || beam.Profile.IsOmnidirectional || (best.TryGetValue(beam.Fixture, out var sofar) && sofar.Flux >= flux))
            {
                continue;
            }

            if (!Landings.TryFind(meter, scene, new BeamIndex(i), out var landing))
            {
                best[beam.Fixture] = (flux, null, "out of the room");
            }
            else if (landing.Mirror.IsNone)
            {
                var surface = Texts.Surface(moment, stage.Rig, landing.Instance, landing.Mirror);
                best[beam.Fixture] = (flux, landing.Point, $"{Texts.Point(landing.Point)} on {surface}");
            }
        }

        return best.ToDictionary(b => b.Key, b => (b.Value.Point, b.Value.Text));
    }
}
