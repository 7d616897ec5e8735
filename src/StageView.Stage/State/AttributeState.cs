using StageView.Stage.Programs;
using StageView.Wire.Universes;

namespace StageView.Stage.State;

/// <summary>One channel of a fixture at one instant: from the bytes to what they mean.</summary>
public sealed record AttributeState
{
    /// <summary>The channel's name, <c>Geometry_Attribute</c>.</summary>
    public required string Channel { get; init; }

    /// <summary>The geometry it acts on.</summary>
    public required string Geometry { get; init; }

    /// <summary>Where its bytes lie, most significant first; empty for a virtual or unpatched channel.</summary>
    public required IReadOnlyList<UniverseAddress> Addresses { get; init; }

    /// <summary>Value in the channel's resolution.</summary>
    public required uint Raw { get; init; }

    /// <summary>Highest value of that resolution.</summary>
    public required uint Highest { get; init; }

    /// <summary>Whether the value is the channel's default because its universe has not been heard.</summary>
    public required bool IsDefault { get; init; }

    /// <summary>The attribute in force at this value; empty when no function covers it.</summary>
    public required string Attribute { get; init; }

    /// <summary>Name of the channel function in force.</summary>
    public required string Function { get; init; }

    /// <summary>Name of the channel set, or empty.</summary>
    public required string Set { get; init; }

    /// <summary>What is asked for, in <see cref="Unit"/>.</summary>
    public required float Target { get; init; }

    /// <summary>Where it is by now: differs from the target while something travels.</summary>
    public required float Now { get; init; }

    /// <summary>deg, deg/s, Hz, s, m, K, or empty for a share.</summary>
    public required string Unit { get; init; }

    /// <summary>Seconds until it arrives, 0 when it stands still, infinite for endless turning.</summary>
    public required double ArrivesIn { get; init; }

    /// <summary>False for attributes that are recognised but change nothing in the picture.</summary>
    public required bool IsSimulated { get; init; }

    /// <summary>Why it is not simulated at this value; empty where it is.</summary>
    public string WhyNot { get; init; } = "";

    /// <summary>What stands behind the value where it isn't plain: the curve of a dimmer, the colour of a macro; or empty.</summary>
    public string Note { get; init; } = "";

    public required AttributeOp Op { get; init; }
}
