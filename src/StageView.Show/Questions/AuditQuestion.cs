using StageView.Ground.Indices;
using StageView.Light.Audit;
using StageView.Light.Interreflection;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Show.Questions;

/// <summary>Where the flux of each fixture goes.</summary>
/// <param name="Fixtures">A balance for each fixture that shines.</param>
/// <param name="Total">All of them together; its fixture is -1.</param>
/// <param name="Matt">What becomes of what landed, thrown from one matt surface to the other; null where that wasn't asked.</param>
public sealed record AuditAnswer(IReadOnlyList<FluxBalance> Fixtures, FluxBalance Total, MattBalance? Matt)
{
    /// <summary>Share of the flux that may be unaccounted for, 0.5 %.</summary>
    public const double Allowed = 0.005;

    /// <summary>Whether no more than <see cref="Allowed"/> is unaccounted for.</summary>
    public bool AddsUp => Math.Abs(Total.Error) <= Allowed && Math.Abs(Matt?.Error ?? 0) <= Allowed;
}

/// <summary>Adds up where light goes.</summary>
public static class AuditQuestion
{
    /// <param name="moment">What shines on what.</param>
    /// <param name="indirect">Whether what matt surfaces throw on each other is followed, too.</param>
    public static AuditAnswer Answer(Moment moment, bool indirect = true)
    {
        var balances = EnergyAudit.Of(moment, OcclusionScene.From(moment));
        return new AuditAnswer(balances,
            balances.Count == 0 ? new FluxBalance { Fixture = FixtureIndex.None }
            : balances.Aggregate((a, b) => a.Plus(b)) with { Fixture = FixtureIndex.None },
            indirect ? MattBalance.Of(moment, balances, new MattSolver().Solve(moment)) : null);
    }
}
