using StageView.Ground.Indices;

namespace StageView.Stage;

public sealed partial class StageModel
{
    /// <summary>Takes in the levels up to a time, without making anything of them yet.</summary>
    internal void ReadyFor(double t)
    {
        lock (_gate)
        {
            GoTo(t);
        }
    }

    /// <summary>True when a fixture is told the same in both shows and rests in both: a quick yes that spares most of the work; false means "look".</summary>
    internal bool IsSurelyAs(StageModel other, FixtureIndex fixture, double t, double otherTime)
    {
        var (a, b) = (_runs[fixture.Value], other._runs[fixture.Value]);
        return a.Raw.SequenceEqual(b.Raw) && a.RestAt <= t && b.RestAt <= otherTime && PixelsAgainst(other, fixture, fixture).Share == 0;
    }

    /// <summary>Which share of a fixture's pixel components differs, 0 to 1, and by how many levels on average.</summary>
    internal (double Share, double Mean) PixelsAgainst(StageModel other, FixtureIndex fixture, FixtureIndex theirs)
    {
        var (count, differ, sum) = (0, 0, 0);
        var bytes = other._runs[theirs.Value].PixelBytes;
        for (var e = 0; e < bytes.Length; e++)
        {
            var mine = _runs[fixture.Value].PixelBytes[e];
            for (var i = 0; i < mine.Length; i++)
            {
                if (mine[i] >= 0 && bytes[e][i] >= 0)
                {
                    var d = Math.Abs(_levels.Bytes[mine[i]] - other._levels.Bytes[bytes[e][i]]);
                    count++;
                    differ += d > 0 ? 1 : 0;
                    sum += d;
                }
            }
        }

        return count == 0 ? (0, 0) : ((double)differ / count, differ == 0 ? 0 : (double)sum / differ);
    }

    /// <summary>
    /// The same over a little while: a component differs where its level in one show lies more than <paramref name="levels"/> outside all that it is in the
    /// other.
    /// </summary>
    internal static (double Share, double Mean) PixelsOver(
        IReadOnlyList<StageModel> first, IReadOnlyList<StageModel> second, FixtureIndex fixture, FixtureIndex theirs, int levels)
    {
        var (count, differ, sum) = (0, 0, 0);
        var (mine, other) = (first[0]._runs[fixture.Value].PixelBytes, second[0]._runs[theirs.Value].PixelBytes);
        for (var e = 0; e < other.Length; e++)
        {
            for (var i = 0; i < mine[e].Length; i++)
            {
                if (mine[e][i] >= 0 && other[e][i] >= 0)
                {
                    var d = Math.Max(Outside(first, mine[e][i], second, other[e][i]), Outside(second, other[e][i], first, mine[e][i]));
                    count++;
                    differ += d > levels ? 1 : 0;
                    sum += d > levels ? d : 0;
                }
            }
        }

        return count == 0 ? (0, 0) : ((double)differ / count, differ == 0 ? 0 : (double)sum / differ);
    }

    /// <summary>How far a place's level in the first of some stages lies outside its levels in all of others.</summary>
    private static int Outside(IReadOnlyList<StageModel> of, int place, IReadOnlyList<StageModel> all, int theirs)
    {
        var level = of[0]._levels.Bytes[place];
        var (least, most) = (255, 0);
        foreach (var stage in all)
        {
            (least, most) = (Math.Min(least, stage._levels.Bytes[theirs]), Math.Max(most, stage._levels.Bytes[theirs]));
        }

        return Math.Max(0, Math.Max(least - level, level - most) - (int)ShowTolerance.Beyond(most - least));
    }
}
