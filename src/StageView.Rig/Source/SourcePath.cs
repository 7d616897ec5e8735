using System.Globalization;

namespace StageView.Rig.Source;

/// <summary>The way to a value within a file: keys and places in lists, from its top. Printed as <c>$.hangs[3].patch</c>.</summary>
public sealed record SourcePath
{
    private readonly SourcePath? _within;
    private readonly string _name;
    private readonly int _item;

    private SourcePath(SourcePath? within, string name, int item) => (_within, _name, _item) = (within, name, item);

    /// <summary>The file as a whole, prints as nothing.</summary>
    public static SourcePath Whole { get; } = new(null, "", -1);

    /// <summary>The value that a JSON file holds.</summary>
    public static SourcePath Top { get; } = new(null, "$", -1);

    /// <summary>The steps from the top, first one first; none for a top, a whole file or an entry of an archive.</summary>
    public IReadOnlyList<SourceStep> Steps
    {
        get
        {
            var steps = new List<SourceStep>();
            for (var p = this; p._within is not null; p = p._within)
            {
                steps.Add(p._item < 0 ? new SourceStep(p._name, 0) : new SourceStep(null, p._item));
            }

            steps.Reverse();
            return steps;
        }
    }

    /// <summary>An entry of an archive, by its name there.</summary>
    public static SourcePath Entry(string name) => new(null, name, -1);

    /// <summary>The value of a key here.</summary>
    public SourcePath Key(string key) => new(this, key, -1);

    /// <summary>An item of the list here.</summary>
    /// <param name="item">From 0.</param>
    public SourcePath Item(int item) => new(this, "", item);

    public override string ToString() =>
        _within is null ? _name
        : _item < 0 ? $"{_within}.{_name}"
        : string.Create(CultureInfo.InvariantCulture, $"{_within}[{_item}]");
}

/// <summary>One step of a <see cref="SourcePath"/>.</summary>
/// <param name="Key">The key to follow, or null for an item of a list.</param>
/// <param name="Item">Which item, from 0; 0 where there is a key.</param>
public readonly record struct SourceStep(string? Key, int Item);
