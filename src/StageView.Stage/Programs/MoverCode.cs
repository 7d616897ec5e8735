namespace StageView.Stage.Programs;

internal enum MoverKind : byte
{
    Pan,
    Tilt,
    Travel,
    ColourWheel,
    GoboWheel,
    GoboRotor,
    GoboShake,
    AnimationRotor,
    PrismRotor,

    /// <summary>Periods of an iris or a frost that beats.</summary>
    IrisBeat,
    FrostBeat,

    /// <summary>A plain value that takes time: zoom, iris, flags, glowing filaments.</summary>
    Value,
}

/// <summary>Something of a fixture that takes time to move.</summary>
/// <param name="Kind">What.</param>
/// <param name="Number">The n of its attributes.</param>
/// <param name="Node">The axis's node, or the geometry of its channel.</param>
/// <param name="TopSpeed">Units a second; 0 is at once.</param>
/// <param name="Acceleration">Units a second²; 0 is at once.</param>
/// <param name="SettleSeconds">After arrival, s.</param>
internal sealed record MoverCode(MoverKind Kind, int Number, int Node, float TopSpeed, float Acceleration, float SettleSeconds)
{
    public bool IsAxis => Kind is MoverKind.Pan or MoverKind.Tilt or MoverKind.Travel;

    /// <summary>Where it stands when no function drives it: wheels on their first slot.</summary>
    public double RestPosition => Kind is MoverKind.ColourWheel or MoverKind.GoboWheel ? 1 : 0;

    /// <summary>Channels that may drive it.</summary>
    public List<int> Channels { get; } = [];

    /// <summary>The function whose range it has, for swapped pan and tilt.</summary>
    public FunctionCode? Main { get; set; }
}
