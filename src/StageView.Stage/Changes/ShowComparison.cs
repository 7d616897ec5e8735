using StageView.Ground.Indices;
using StageView.Stage.Programs;

namespace StageView.Stage.Changes;

/// <summary>Compares two shows by the state of every fixture, without drawing.</summary>
/// <param name="first">The first show's stage.</param>
/// <param name="second">The second's, on the same rig unless <paramref name="pairs"/> are given.</param>
/// <param name="map">When in the second show a time of the first is.</param>
/// <param name="pairs">For another rig: which of its fixtures each of the first is, or none. Where their beams point is then not compared.</param>
public sealed class ShowComparison(StageModel first, StageModel second, TimeMap map, IReadOnlyList<FixtureIndex>? pairs = null)
{
    private readonly Dictionary<(FixtureIndex Fixture, string Attribute), Parting> _open = [];
    private readonly List<Parting> _closed = [];

    /// <summary>Looks at one time of the first show; times must come in order.</summary>
    public void Look(double t, double step)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(step);
        var u = Math.Max(0, map.ToSecond(t));
        first.ReadyFor(t);
        second.ReadyFor(u);
        var seen = new HashSet<(FixtureIndex, string)>();
        for (var i = 0; i < first.Rig.Fixtures.Count; i++)
        {
            var fixture = new FixtureIndex(i);
            var other = pairs is null ? fixture : pairs[i];
            if (!other.IsNone && (pairs is not null || !first.IsSurelyAs(second, fixture, t, u)))
            {
                foreach (var difference in Differences(fixture, other, t, u))
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

    /// <summary>Smallest difference told, in the attribute's unit.</summary>
    private static double Least(string unit) => unit switch
    {
        "deg" => 0.05,
        "m" => 0.005,
        "K" => 10,
        "Hz" => 0.05,
        "deg/s" => 0.2,
        _ => 0.003,
    };

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

    private IEnumerable<Parting> Differences(FixtureIndex fixture, FixtureIndex other, double t, double u)
    {
        var a = first.StateOf(fixture, TimeSpan.FromSeconds(t));
        var b = second.StateOf(other, TimeSpan.FromSeconds(u));
        for (var c = 0; c < a.Attributes.Count; c++)
        {
            var (x, y) = (a.Attributes[c], b.Attributes[c]);
            var name = x.Attribute.Length > 0 ? x.Attribute : y.Attribute;
            if (name.Length == 0 || !(x.IsSimulated || y.IsSimulated) || (pairs is not null && IsAim(x.Op)))
            {
                continue;
            }

            if (Math.Abs(x.Now - y.Now) > Least(x.Unit) || x.Set != y.Set || x.Attribute != y.Attribute)
            {
                yield return Make(fixture, a.Name, a.Attributes.Count(o => o.Attribute == name) > 1 ? $"{x.Geometry} {name}" : name, x.Unit, x.Now, y.Now,
                    t) with
                {
                    FirstText = x.Attribute == y.Attribute ? x.Set : x.Function,
                    SecondText = x.Attribute == y.Attribute ? y.Set : y.Function,
                };
            }
        }

        var (share, mean) = first.PixelsAgainst(second, fixture, other);
        if (share > 0)
        {
            yield return Make(fixture, a.Name, "pixels", "% of components differ", 0, 100 * share, t) with { SecondText = $"{mean:0.#} levels on average" };
        }
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
