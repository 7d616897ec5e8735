using StageView.Ground.Indices;

namespace StageView.Light.Audit;

/// <summary>Where the flux of one fixture goes, lm.</summary>
public sealed record FluxBalance
{
    /// <summary>The fixture in the rig; none for a sum over several.</summary>
    public required FixtureIndex Fixture { get; init; }

    /// <summary>Out of the lens or the surface, before any gobo or blade.</summary>
    public double Out { get; init; }

    /// <summary>Held back by gobos and blades.</summary>
    public double Gobos { get; init; }

    /// <summary>On scenery, people and structure, direct.</summary>
    public double LandedDirect { get; init; }

    /// <summary>The same, off mirrors.</summary>
    public double LandedReflected { get; init; }

    /// <summary>Absorbed by mirrors, on their backs too.</summary>
    public double Mirrors { get; init; }

    /// <summary>Scattered or absorbed by haze.</summary>
    public double Haze { get; init; }

    /// <summary>Out of the room: met nothing.</summary>
    public double Escaped { get; init; }

    /// <summary>Reflected, but beyond the number of bounces followed or below the share that is.</summary>
    public double NotFollowed { get; init; }

    /// <summary>All that was accounted for.</summary>
    public double Accounted => Gobos + LandedDirect + LandedReflected + Mirrors + Haze + Escaped + NotFollowed;

    /// <summary>Accounted over out, less one.</summary>
    public double Error => Out > 0 ? (Accounted / Out) - 1 : 0;

    /// <summary>Two balances as one.</summary>
    public FluxBalance Plus(FluxBalance o)
    {
        ArgumentNullException.ThrowIfNull(o);
        return new FluxBalance
        {
            Fixture = Fixture,
            Out = Out + o.Out,
            Gobos = Gobos + o.Gobos,
            LandedDirect = LandedDirect + o.LandedDirect,
            LandedReflected = LandedReflected + o.LandedReflected,
            Mirrors = Mirrors + o.Mirrors,
            Haze = Haze + o.Haze,
            Escaped = Escaped + o.Escaped,
            NotFollowed = NotFollowed + o.NotFollowed,
        };
    }
}
