using StageView.Ground.Indices;
using StageView.Stage.Programs;
using StageView.Stage.State;

namespace StageView.Stage.Changes;

/// <summary>Compares two shows by the state of every fixture, without drawing. A state is the same when the other show has it within the tolerance.</summary>
/// <param name="first">The first show's stages, one for each time of <see cref="ShowTolerance.Around"/>.</param>
/// <param name="second">The second's, on the same rig unless <paramref name="pairs"/> are given.</param>
/// <param name="map">When in the second show a time of the first is.</param>
/// <param name="tolerance">How much may differ.</param>
/// <param name="pairs">For another rig: which of its fixtures each of the first is, or none. Where their beams point is then not compared.</param>
public sealed class ShowComparison(
    IReadOnlyList<StageModel> first, IReadOnlyList<StageModel> second, TimeMap map, ShowTolerance tolerance, IReadOnlyList<FixtureIndex>? pairs = null)
{
    private readonly Dictionary<(FixtureIndex Fixture, string Attribute), Parting> _open = [];
    private readonly List<Parting> _closed = [];

    /// <summary>Looks at one time of the first show; times must come in order.</summary>
    public void Look(double t, double step)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(step);
        var u = Math.Max(0, map.ToSecond(t));
        var (ts, us) = (tolerance.Around(t), tolerance.Around(u));
        for (var i = 0; i < ts.Length; i++)
        {
            first[i].ReadyFor(ts[i]);
            second[i].ReadyFor(us[i]);
        }

        var seen = new HashSet<(FixtureIndex, string)>();
        for (var i = 0; i < first[0].Rig.Fixtures.Count; i++)
        {
            var fixture = new FixtureIndex(i);
            var other = pairs is null ? fixture : pairs[i];
            if (!other.IsNone && (pairs is not null || !first[0].IsSurelyAs(second[0], fixture, t, u)))
            {
                foreach (var difference in Differences(fixture, other, ts, us))
                {
                    seen.Add((fixture, difference.Attribute));
                    Extend(difference, t);
                }
            }
        }

        foreach (var (key, parting) in _open.Where(o => !seen.Contains(o.Key)).ToList())
        {
            _closed.Add(parting with { To = Math.Max(parting.From, t - step) });
            _open.Remove(key);
        }
    }

    /// <summary>Every parting, in order of time.</summary>
    public IReadOnlyList<Parting> Finish()
    {
        _closed.AddRange(_open.Values);
        _open.Clear();
        return [.. _closed.OrderBy(p => p.From).ThenBy(p => p.Fixture)];
    }

    private static bool IsAim(AttributeOp op) => op is AttributeOp.Pan or AttributeOp.Tilt;

    private void Extend(Parting now, double t)
    {
        var key = (now.Fixture, now.Attribute);
        if (!_open.TryGetValue(key, out var open))
        {
            _open[key] = now;
        }
        else
        {
            var farther = Math.Abs(now.First - now.Second) > Math.Abs(open.First - open.Second);
            _open[key] = farther ? now with { From = open.From, To = t } : open with { To = t };
        }
    }

    private IEnumerable<Parting> Differences(FixtureIndex fixture, FixtureIndex other, double[] ts, double[] us)
    {
        var a = first[0].StateOf(fixture, TimeSpan.FromSeconds(ts[0]));
        var b = second[0].StateOf(other, TimeSpan.FromSeconds(us[0]));
        FixtureState[]? mine = null;
        FixtureState[]? theirs = null;
        for (var c = 0; c < a.Attributes.Count; c++)
        {
            var (x, y) = (a.Attributes[c], b.Attributes[c]);
            var name = x.Attribute.Length > 0 ? x.Attribute : y.Attribute;
            if (name.Length == 0 || !(x.IsSimulated || y.IsSimulated) || (pairs is not null && IsAim(x.Op)) || Same(x, y))
            {
                continue;
            }

            mine ??= [a, .. Beside(first, fixture, ts)];
            theirs ??= [b, .. Beside(second, other, us)];
            if (Within(x, [.. theirs.Select(s => s.Attributes[c])]) && Within(y, [.. mine.Select(s => s.Attributes[c])]))
            {
                continue;
            }

            var full = a.Attributes.Count(o => o.Attribute == name) > 1 ? $"{x.Geometry} {name}" : name;
            yield return Make(fixture, a.Name, full, x.Unit, x.Now, y.Now, ts[0]) with
            {
                FirstText = x.Attribute == y.Attribute ? x.Set : x.Function,
                SecondText = x.Attribute == y.Attribute ? y.Set : y.Function,
            };
        }

        if (first[0].PixelsAgainst(second[0], fixture, other).Share > 0
            && StageModel.PixelsOver(first, second, fixture, other, tolerance.PixelLevels) is { Share: > 0 } pixels)
        {
            yield return Make(fixture, a.Name, "pixels", "% of components differ", 0, 100 * pixels.Share, ts[0]) with
            {
                SecondText = $"{pixels.Mean:0.#} levels on average",
            };
        }
    }

    private static IEnumerable<FixtureState> Beside(IReadOnlyList<StageModel> stages, FixtureIndex fixture, double[] times) =>
        Enumerable.Range(1, times.Length - 1).Select(i => stages[i].StateOf(fixture, TimeSpan.FromSeconds(times[i])));

    private bool Same(AttributeState x, AttributeState y) =>
        Math.Abs(x.Now - y.Now) <= tolerance.Least(x.Unit) && x.Set == y.Set && x.Attribute == y.Attribute;

    /// <summary>Whether a state lies between those that the other show had in the while around.</summary>
    private bool Within(AttributeState x, AttributeState[] others)
    {
        var (least, most) = (others.Min(o => o.Now), others.Max(o => o.Now));
        var give = Math.Max(tolerance.Least(x.Unit), ShowTolerance.Beyond(most - least));
        return x.Now >= least - give && x.Now <= most + give && others.Any(o => o.Attribute == x.Attribute && o.Set == x.Set);
    }

    private static Parting Make(FixtureIndex fixture, string name, string attribute, string unit, double a, double b, double t) => new()
    {
        Fixture = fixture,
        Name = name,
        Attribute = attribute,
        Unit = unit,
        From = t,
        To = t,
        First = a,
        Second = b,
        At = t,
    };
}
