namespace StageView.Snapshot.Frames;

/// <summary>One thing that the rig, a profile or the venue says.</summary>
public sealed record RigFact
{
    /// <summary>The property that says how a thing is turned: where its own x and z axes point, six numbers. Two of them are told as an angle.</summary>
    public const string Turn = "turn";

    /// <summary>What kind of thing it is said of: fixture, type, camera, haze, mirror, scenery, position.</summary>
    public required string Kind { get; init; }

    /// <summary>Its name.</summary>
    public required string Subject { get; init; }

    /// <summary>What is said: mode, height, address.</summary>
    public required string Property { get; init; }

    public double? Value { get; init; }

    public string Unit { get; init; } = "";

    /// <summary>The value in words, where it is no number.</summary>
    public string? Text { get; init; }

    /// <summary>What it hangs on: facts of one place that change alike are told as one.</summary>
    public string? Place { get; init; }

    /// <summary>Fixtures that it concerns beside the subject, for a type.</summary>
    public IReadOnlyList<string>? Fixtures { get; init; }
}
