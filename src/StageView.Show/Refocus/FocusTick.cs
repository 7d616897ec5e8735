using System.Globalization;
using System.Numerics;
using StageView.Rig.Pieces;

namespace StageView.Show.Refocus;

/// <summary>
/// Somebody says that a fixture is focused for what a position is for, at the values of that moment. It counts as long as these are the values that the
/// position has.
/// </summary>
public sealed record FocusTick
{
    /// <summary>Degrees; less than this is no change where the axis has no step of its own, for lack of a channel.</summary>
    private const float LeastStep = .01f;

    public required string Fixture { get; init; }

    /// <summary>From 1, as it was when it was ticked; what the position is for decides, this is for the reader.</summary>
    public int Position { get; init; }

    /// <summary>What the position is for, in words for the reader.</summary>
    public string For { get; init; } = "";

    public required AnchorKind Kind { get; init; }

    /// <summary>Of the point, piece or volume that the position is for; empty for a direction or a crossing.</summary>
    public required string Name { get; init; }

    /// <summary>Mirrors on the way, first met first.</summary>
    public required IReadOnlyList<string> Via { get; init; }

    /// <summary>Where on that, m, as <see cref="Anchor.Local"/>.</summary>
    public required IReadOnlyList<float> Place { get; init; }

    /// <summary>Degrees; null where the position had no values.</summary>
    public float? Pan { get; init; }

    public float? Tilt { get; init; }

    /// <summary>Who ticked it; empty where nobody said.</summary>
    public string By { get; init; } = "";

    public DateTimeOffset At { get; init; }

    /// <summary>A tick for a position as it is now.</summary>
    public static FocusTick Of(RefocusRow row, string by, DateTimeOffset at)
    {
        ArgumentNullException.ThrowIfNull(row);
        var local = row.Anchor.Local;
        return new FocusTick
        {
            Fixture = row.Fixture, Position = row.Position, For = row.Anchor.Text, Kind = row.Anchor.Kind, Name = row.Anchor.Name, Via = row.Anchor.Via,
            Place = [local.X, local.Y, local.Z], Pan = row.NewPan, Tilt = row.NewTilt, By = by, At = at,
        };
    }

    /// <summary>How far what it was for lies from what a position is for, m (for a direction without a unit); infinite for something else.</summary>
    public float Off(RefocusRow row)
    {
        ArgumentNullException.ThrowIfNull(row);
        return row.Fixture == Fixture && row.Anchor.Kind == Kind && row.Anchor.Name == Name && row.Anchor.Via.SequenceEqual(Via) && Place.Count == 3
            ? Vector3.Distance(row.Anchor.Local, new Vector3(Place[0], Place[1], Place[2])) : float.PositiveInfinity;
    }

    /// <summary>Which values are no longer those that were focused, in words; empty where it counts.</summary>
    /// <param name="row">The position.</param>
    /// <param name="fixture">Its fixture in the new venue, or null.</param>
    public string Changed(RefocusRow row, Fixture? fixture)
    {
        ArgumentNullException.ThrowIfNull(row);
        return string.Join(", ", new[] { Axis("pan", "Pan", Pan, row.NewPan), Axis("tilt", "Tilt", Tilt, row.NewTilt) }.Where(t => t.Length > 0));

        string Axis(string word, string attribute, float? was, float? now) => was is null && now is null ? ""
            : was is { } a && now is { } b
                ? Math.Abs(a - b) <= Step(fixture, attribute) * 1.001f ? "" : string.Create(CultureInfo.InvariantCulture, $"{word} is {b:0.00}, was {a:0.00}")
            : now is { } c ? string.Create(CultureInfo.InvariantCulture, $"{word} is {c:0.00}, there was none") : $"there is no {word} any more";
    }

    /// <summary>Degrees between two neighbouring levels of an axis: its travel over its levels.</summary>
    private static float Step(Fixture? fixture, string attribute) =>
        fixture?.Mode.Channels.Where(c => c.Offsets.Count > 0).SelectMany(c => c.Functions).Where(f => f.Attribute == attribute && f.DmxTo > f.DmxFrom)
            .Select(f => Math.Abs(f.PhysicalTo - f.PhysicalFrom) / (f.DmxTo - f.DmxFrom)).Where(s => s > 0).DefaultIfEmpty(LeastStep).Min() ?? LeastStep;
}
