using StageView.Rig.Profiles;

namespace StageView.Stage.Programs;

/// <summary>How the value of a speed channel is meant.</summary>
internal enum SpeedMeaning : byte
{
    /// <summary>Not a speed, or nobody can say in what unit.</summary>
    Unknown,

    /// <summary>A share of the full speed, 0 to 1.</summary>
    Share,

    /// <summary>Percent of the full speed.</summary>
    Percent,

    /// <summary>deg/s, or m/s of a winch.</summary>
    PerSecond,

    /// <summary>Seconds that a move takes, whatever its way.</summary>
    Seconds,
}

/// <summary>
/// Speed channels (DIN SPEC 15800, annex A, PositionMSpeed and its kin): what each slows, and in what unit. The standard gives these attributes no unit, so the
/// file's own (Attribute, PhysicalUnit) decides, then the range: up to 1 is a share, up to 100 percent.
/// </summary>
internal static class SpeedScope
{
    /// <summary>A share of 0 still moves: as slow as this share of the full speed (a value of our own, no source).</summary>
    public const float LeastShare = .02f;

    public static bool IsSpeed(AttributeOp op) => op is >= AttributeOp.MoveSpeed and <= AttributeOp.AllSpeed;

    public static SpeedMeaning Meaning(ChannelFunction f)
    {
        var most = Math.Max(f.PhysicalFrom, f.PhysicalTo);
        return f.StatedUnit switch
        {
            "Time" => SpeedMeaning.Seconds,
            _ when f.Attribute.EndsWith("MTime", StringComparison.OrdinalIgnoreCase) => SpeedMeaning.Seconds,
            _ when most <= 1 => SpeedMeaning.Share,
            "Percent" => SpeedMeaning.Percent,
            "AngularSpeed" or "Speed" => SpeedMeaning.PerSecond,
            _ => most is >= 50 and <= 100.5f ? SpeedMeaning.Percent : SpeedMeaning.Unknown,
        };
    }

    /// <summary>Unit of the value as people read it; empty for a share.</summary>
    public static string UnitOf(ChannelFunction f) => Meaning(f) switch
    {
        SpeedMeaning.Seconds => "s",
        SpeedMeaning.Percent => "%",
        SpeedMeaning.PerSecond => "deg/s",
        _ => "",
    };

    public static bool Covers(AttributeOp speed, int number, MoverCode mover)
    {
        var op = mover.Main?.Op ?? AttributeOp.Nothing;
        var value = mover.Kind == MoverKind.Value;
        return speed switch
        {
            AttributeOp.MoveSpeed => mover.IsAxis,
            AttributeOp.ColourWheelSpeed => mover.Kind == MoverKind.ColourWheel,
            AttributeOp.GoboWheelSpeed => mover.Kind == MoverKind.GoboWheel && mover.Number == number,
            AttributeOp.FrostSpeed => value && op == AttributeOp.Frost && mover.Main!.Number == number,
            AttributeOp.AllSpeed => mover.IsAxis || mover.Kind is MoverKind.ColourWheel or MoverKind.GoboWheel || (value && op != AttributeOp.Dimmer),
            _ => value && IsOf(speed, op),
        };
    }

    /// <summary>Whether a value of this attribute is among what the speed slows.</summary>
    public static bool IsOf(AttributeOp speed, AttributeOp value) => speed switch
    {
        AttributeOp.DimmerSpeed => value == AttributeOp.Dimmer,
        AttributeOp.MixSpeed => value is AttributeOp.Add or (>= AttributeOp.Cyan and <= AttributeOp.Yellow)
            or (>= AttributeOp.ToOrange and <= AttributeOp.Temperature),
        AttributeOp.IrisSpeed => value == AttributeOp.Iris,
        AttributeOp.FocusSpeed => value == AttributeOp.Focus,
        AttributeOp.FrostSpeed => value == AttributeOp.Frost,
        AttributeOp.ZoomSpeed => value == AttributeOp.Zoom,
        AttributeOp.BeamSpeed => value is AttributeOp.Zoom or AttributeOp.Iris or AttributeOp.Frost or AttributeOp.Focus,
        AttributeOp.AllSpeed => value is not (AttributeOp.Dimmer or AttributeOp.Shutter),
        _ => false,
    };

    /// <summary>
    /// The top speed with which a move of <paramref name="distance"/> takes <paramref name="seconds"/> from rest to rest: T = d/v + v/a, the trapezoid's time
    /// solved for v. Where even the shortest time is longer, <paramref name="fastest"/>.
    /// </summary>
    /// <param name="distance">Way, in the mover's unit, 0 or more.</param>
    /// <param name="seconds">Above 0.</param>
    /// <param name="acceleration">Units a second²; 0 for at once.</param>
    /// <param name="fastest">The mechanics' top speed; 0 for none.</param>
    public static double TopFor(double distance, double seconds, double acceleration, double fastest)
    {
        var most = fastest > 0 ? fastest : double.MaxValue;
        if (acceleration <= 0)
        {
            return Math.Clamp(distance / seconds, 1e-6, most);
        }

        var at = acceleration * seconds;
        var under = (at * at) - (4 * acceleration * distance);
        return under < 0 ? most : Math.Clamp((at - Math.Sqrt(under)) / 2, 1e-6, most);
    }
}
