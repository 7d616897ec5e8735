namespace StageView.Snapshot.Why;

/// <summary>One reason why a frame, or a whole set, differs.</summary>
public sealed record Cause
{
    public required CauseKind Kind { get; init; }

    /// <summary>The fixture, type, place or change it is said of.</summary>
    public required string Subject { get; init; }

    /// <summary>The attribute or property.</summary>
    public string What { get; init; } = "";

    /// <summary>Value in the base, with its unit.</summary>
    public string Before { get; init; } = "";

    public string After { get; init; } = "";

    /// <summary>Share of the changed pixels that lie where its light is seen, 0 to 1; null where that can't be told.</summary>
    public double? Share { get; init; }

    /// <summary>The cause that this one only follows from, or null.</summary>
    public string? Follows { get; init; }

    /// <summary>Fixtures concerned, where they are more than the subject.</summary>
    public IReadOnlyList<string>? Fixtures { get; init; }

    /// <summary>Scenery and mirrors concerned, or null where it is none.</summary>
    public IReadOnlyList<string>? Pieces { get; init; }

    /// <summary>In one line, without the share.</summary>
    public string Text => $"{Subject}{(What.Length > 0 ? ": " + What : "")}{(Before.Length + After.Length > 0 ? $" {Or(Before)} → {Or(After)}" : "")}{Many}";

    private string Many => Fixtures is { Count: > 1 } ? $" ({Fixtures.Count} fixtures)" : "";

    private static string Or(string value) => value.Length > 0 ? value : "none";
}
