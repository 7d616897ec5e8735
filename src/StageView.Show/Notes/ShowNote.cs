namespace StageView.Show.Notes;

/// <summary>A camera that somebody saved by name.</summary>
/// <param name="Name">What it is called.</param>
/// <param name="Position">m.</param>
/// <param name="Target">The point looked at, m.</param>
/// <param name="Fov">Full vertical angle of view, degrees.</param>
/// <param name="Ev">Exposure value at ISO 100.</param>
public sealed record KeptCamera(string Name, float[] Position, float[] Target, float Fov, float Ev);

/// <summary>What somebody noted at a moment of the show.</summary>
public sealed record ShowNote
{
    /// <summary>Tells it from the others, and names its picture.</summary>
    public required string Id { get; init; }

    /// <summary>When it was dropped.</summary>
    public required DateTimeOffset At { get; init; }

    /// <summary><c>network</c>, <c>capture</c> or <c>look</c>.</summary>
    public required string Source { get; init; }

    /// <summary>The capture's or the look's name.</summary>
    public string SourceName { get; init; } = "";

    /// <summary>Of the source, s; from the capture's start.</summary>
    public double Seconds { get; init; }

    /// <summary>As heard or as in the capture, <c>hh:mm:ss:ff</c>; null where there was none.</summary>
    public string? Timecode { get; init; }

    /// <summary>What it was seen from.</summary>
    public required KeptCamera Camera { get; init; }

    /// <summary>What is to be done; empty for a mark alone.</summary>
    public string Text { get; init; } = "";

    /// <summary>Whether it was worked off.</summary>
    public bool Done { get; init; }

    /// <summary>File name of its picture in the folder beside the file, or null.</summary>
    public string? Picture { get; init; }
}

/// <summary>Everything that is kept beside a rig: cameras by name, and notes in order of their dropping.</summary>
public sealed record NotesKept(IReadOnlyList<KeptCamera> Cameras, IReadOnlyList<ShowNote> Notes)
{
    public static NotesKept Nothing { get; } = new([], []);
}
