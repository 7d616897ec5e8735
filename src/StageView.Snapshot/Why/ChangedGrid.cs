using StageView.Snapshot.Compare;
using StageView.Snapshot.Frames;

namespace StageView.Snapshot.Why;

/// <summary>Changed pixels in a coarse grid: what share of them lies under some outlines.</summary>
internal sealed class ChangedGrid
{
    private const int Columns = 160;
    private const int Rows = 90;
    private readonly List<(double X, double Y, int Count)> _cells = [];
    private readonly long _total;
    private readonly bool[] _changed = new bool[Columns * Rows];

    public ChangedGrid(ChangeMap map)
    {
        var counts = map.Grid(Columns, Rows);
        for (var i = 0; i < counts.Length; i++)
        {
            if (counts[i] > 0)
            {
                _changed[i] = true;
                _cells.Add((((i % Columns) + 0.5) / Columns, ((i / Columns) + 0.5) / Rows, counts[i]));
                _total += counts[i];
            }
        }
    }

    /// <summary>Which share of what lies under some outlines changed, 0 to 1, by every third cell of every third row.</summary>
    public double ChangedOf(IReadOnlyCollection<ScreenCover> covers)
    {
        var (under, changed) = (0, 0);
        for (var row = 1; row < Rows; row += 3)
        {
            for (var column = 1; column < Columns; column += 3)
            {
                if (covers.Any(c => c.Contains((column + 0.5) / Columns, (row + 0.5) / Rows)))
                {
                    under++;
                    changed += _changed[(row * Columns) + column] ? 1 : 0;
                }
            }
        }

        return under == 0 ? 1 : (double)changed / under;
    }

    /// <summary>0 to 1; null when nothing changed or there is nothing to look under.</summary>
    public double? Under(IReadOnlyCollection<ScreenCover> covers)
    {
        if (_total == 0 || covers.Count == 0)
        {
            return null;
        }

        long under = 0;
        foreach (var (x, y, count) in _cells)
        {
            under += covers.Any(c => c.Contains(x, y)) ? count : 0;
        }

        return (double)under / _total;
    }
}
