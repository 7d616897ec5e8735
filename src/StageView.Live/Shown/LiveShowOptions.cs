namespace StageView.Live.Shown;

/// <summary>What a live show is made of.</summary>
public sealed record LiveShowOptions
{
    public required string RigFile { get; init; }

    /// <summary>A venue file laid over the rig, or null.</summary>
    public string? Venue { get; init; }

    /// <summary>Local addresses to listen on beside loopback and those of the rig file.</summary>
    public IReadOnlyList<string> Listen { get; init; } = [];

    /// <summary>Where recordings are written and captures are looked for.</summary>
    public required string Recordings { get; init; }

    /// <summary>Where look files (<c>*.look.jsonc</c>) are looked for.</summary>
    public required string Looks { get; init; }

    /// <summary>A sound input that is listened to for linear timecode, or null.</summary>
    public Show.Sound.SoundSource? Ltc { get; init; }

    /// <summary>A group that exchanges MVR files to join, or null.</summary>
    public Show.Exchange.ExchangeRequest? Exchange { get; init; }

    /// <summary>How much of what was heard last is kept without a recording; zero for nothing.</summary>
    public TimeSpan Last { get; init; } = TimeSpan.FromMinutes(10);

    /// <summary>The most that it may take on disk, bytes.</summary>
    public long LastBytes { get; init; } = 1L << 30;

    /// <summary>A show whose positions are worked out for the venue that is shown, or null.</summary>
    public Show.Refocus.RefocusRequest? Refocus { get; init; }

    /// <summary>Whether the live inputs are opened that the rig names as content.</summary>
    public bool Inputs { get; init; }

    /// <summary>Universe of the marker that measures delays; its first address is used.</summary>
    public int MarkerUniverse { get; init; } = 63_999;

    /// <summary>Ports to listen on, where they aren't the standards'; for tests beside other listeners.</summary>
    public int E131Port { get; init; } = Wire.E131.E131Numbers.Port;

    public int ArtNetPort { get; init; } = Wire.ArtNet.ArtNetNumbers.Port;

    /// <summary>How often the rig file is looked at.</summary>
    public TimeSpan LookAtFiles { get; init; } = TimeSpan.FromMilliseconds(200);
}
