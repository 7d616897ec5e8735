using StageView.Light.Beams;
using StageView.Light.Interreflection;
using StageView.Light.Mirrors;
using StageView.Light.Moments;

namespace StageView.Light.Audit;

/// <summary>Where the light goes that landed on matt surfaces and is thrown from one to the other, lm. What lasers land is left out.</summary>
public sealed record MattBalance
{
    /// <summary>
    /// Landed straight from the sources or off mirrors, as the fixtures' own balances have it, and what pixel surfaces land off mirrors, which those balances
    /// don't follow.
    /// </summary>
    public required double Landed { get; init; }

    /// <summary>Thrown back by matt surfaces, each time counted.</summary>
    public required double ThrownBack { get; init; }

    /// <summary>Thrown on by surfaces that shine, as by rough mirrors; not followed.</summary>
    public required double Shone { get; init; }

    /// <summary>Absorbed by matt surfaces.</summary>
    public required double Absorbed { get; init; }

    /// <summary>Absorbed by mirrors on the way from one to the other.</summary>
    public required double Mirrors { get; init; }

    /// <summary>Taken by haze on the way.</summary>
    public required double Haze { get; init; }

    /// <summary>Out of the room: met nothing.</summary>
    public required double Escaped { get; init; }

    /// <summary>All that was accounted for.</summary>
    public double Accounted => Absorbed + Shone + Mirrors + Haze + Escaped;

    /// <summary>Accounted over landed, less one.</summary>
    public double Error => Landed > 0 ? (Accounted / Landed) - 1 : 0;

    /// <summary>Adds up what a solution says of each patch, against what the fixtures' balances landed.</summary>
    /// <param name="moment">The moment of both.</param>
    /// <param name="fixtures">From <see cref="EnergyAudit.Of"/>.</param>
    /// <param name="light">The solution.</param>
    public static MattBalance Of(Moment moment, IEnumerable<FluxBalance> fixtures, MattLight light)
    {
        ArgumentNullException.ThrowIfNull(moment);
        ArgumentNullException.ThrowIfNull(light);
        var lasers = moment.Lasers.ToArray().Select(l => l.Fixture).ToHashSet();
        double back = 0, shone = 0, absorbed = 0, mirrors = 0, haze = 0, escaped = 0;
        for (var i = 0; i < light.Patches.Count; i++)
        {
            var area = light.Patches.Areas[i];
            var thrown = area * BeamPhotometry.Luminance(light.Exitance[i]);
            var way = light.Links.WayOf(i);
            var arrived = area * BeamPhotometry.Luminance(light.Direct[i] + light.Indirect[i]);
            var piece = moment[light.Patches.InstanceOf(i)];
            var shines = arrived * (1 - GlossShares.Matt(piece.Shine, piece.Roughness));
            absorbed += arrived - thrown - shines;
            shone += shines;
            back += thrown;
            mirrors += thrown * way.Mirrors;
            haze += thrown * way.Haze;
            escaped += thrown * way.Escaped;
        }

        return new MattBalance
        {
            Landed = fixtures.Where(f => !lasers.Contains(f.Fixture)).Sum(f => f.LandedDirect + f.LandedReflected) + light.SurfacesOffMirrors,
            ThrownBack = back, Shone = shone, Absorbed = absorbed, Mirrors = mirrors, Haze = haze, Escaped = escaped,
        };
    }
}
