using System.Globalization;
using System.Numerics;
using StageView.Ground.Words;

namespace StageView.Paperwork.Drawings;

/// <summary>Gathers the labels of things that lie behind one another in a drawing. Nearest first.</summary>
/// <param name="numbers">Whether labels are numbers that may be written as runs; names are told one by one or counted.</param>
internal sealed class LabelGroups(bool numbers)
{
    private const float Cell = 10;

    /// <summary>From this share of its area on, a thing counts as behind another.</summary>
    private const float Hidden = .55f;

    /// <summary>Longer texts name the nearest and say how many follow.</summary>
    private const int Longest = 18;

    private readonly List<Group> _groups = [];
    private readonly Dictionary<(int, int), List<Group>> _near = [];

    public bool AnyShortened { get; private set; }

    /// <param name="label">Number or name.</param>
    /// <param name="low">Corner of its box on the page.</param>
    /// <param name="high">The other corner.</param>
    public void Add(string label, Vector2 low, Vector2 high)
    {
        var area = Math.Max(1e-6f, (high.X - low.X) * (high.Y - low.Y));
        foreach (var g in Cells(low, high).SelectMany(c => _near.GetValueOrDefault(c) ?? []))
        {
            var over = Vector2.Max(Vector2.Zero, Vector2.Min(high, g.High) - Vector2.Max(low, g.Low));
            if (over.X * over.Y > Hidden * area)
            {
                g.Labels.Add(label);
                return;
            }
        }

        var own = new Group([label], low, high);
        _groups.Add(own);
        foreach (var c in Cells(low, high))
        {
            if (!_near.TryGetValue(c, out var list))
            {
                _near[c] = list = [];
            }

            list.Add(own);
        }
    }

    /// <summary>Texts with the boxes they belong to, from the top of the page down.</summary>
    public IReadOnlyList<(string Text, Vector2 Low, Vector2 High)> All() =>
        [.. _groups.OrderBy(g => g.Low.Y).ThenBy(g => g.Low.X).Select(g => (Text(g.Labels), g.Low, g.High))];

    private string Text(List<string> labels)
    {
        if (!numbers)
        {
            return labels.Count == 1 ? labels[0] : string.Create(CultureInfo.InvariantCulture, $"{labels[0]} and {labels.Count - 1} behind it");
        }

        var runs = NumberRuns.Of(labels);
        if (labels.Count == 1 || runs.Length <= Longest)
        {
            return runs;
        }

        AnyShortened = true;
        return string.Create(CultureInfo.InvariantCulture, $"{labels[0]} +{labels.Count - 1}");
    }

    private static IEnumerable<(int, int)> Cells(Vector2 low, Vector2 high)
    {
        for (var x = (int)MathF.Floor(low.X / Cell); x <= (int)MathF.Floor(high.X / Cell); x++)
        {
            for (var y = (int)MathF.Floor(low.Y / Cell); y <= (int)MathF.Floor(high.Y / Cell); y++)
            {
                yield return (x, y);
            }
        }
    }

    private sealed record Group(List<string> Labels, Vector2 Low, Vector2 High);
}
