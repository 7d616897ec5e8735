namespace StageView.Show.Frames;

/// <summary>What a render verb was asked for.</summary>
public sealed record RenderRequest
{
    public required string Rig { get; init; }

    /// <summary>A venue file laid over the rig, or null.</summary>
    public string? Venue { get; init; }

    /// <summary>A preset of the rig to start from, or null.</summary>
    public string? Preset { get; init; }

    public string? Capture { get; init; }

    /// <summary>Whether the capture is sought by its index.</summary>
    public bool Seek { get; init; }

    public string? Look { get; init; }

    public double? ListenSeconds { get; init; }

    public IReadOnlyList<string> Times { get; init; } = [];

    public IReadOnlyList<string> Cameras { get; init; } = [];

    public FrameSize Size { get; init; } = FrameSize.Default;

    public PictureStyle Style { get; init; } = PictureStyle.Plain;

    /// <summary>Whether the rig's live inputs, devices and addresses on the network, are opened.</summary>
    public bool Inputs { get; init; }

    /// <summary>A map of the rig whose numbered picture is laid over its pixels instead of the rig's content; null for none.</summary>
    public string? NumberedMap { get; init; }

    public required string Out { get; init; }
}

/// <summary>A frame that was written.</summary>
/// <param name="File">Where.</param>
/// <param name="Camera">From which camera.</param>
/// <param name="Seconds">Show time, s.</param>
/// <param name="Asked">The time as it was asked for.</param>
/// <param name="Beams">Beams in the moment, reflected ones counted.</param>
public sealed record WrittenFrame(string File, string Camera, double Seconds, string Asked, int Beams);
