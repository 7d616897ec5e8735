using StageView.Ground.Indices;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;

namespace StageView.Show.Questions;

/// <summary>What left one mirror last, over all beams that came by it.</summary>
/// <param name="Mirror">Its name.</param>
/// <param name="Beams">Beams for which it was the last mirror.</param>
/// <param name="CarriedOn">Flux that they carry on after it, lm.</param>
/// <param name="CutOff">Mean share of a beam that fell beside the mirrors, 0 to 1.</param>
public sealed record MirrorSum(string Mirror, int Beams, double CarriedOn, double CutOff);

/// <summary>Where beams go.</summary>
/// <param name="Moment">The moment they were followed in.</param>
/// <param name="Beams">A report for each beam asked for.</param>
/// <param name="Mirrors">What each mirror carried on, in the rig's order.</param>
public sealed record BouncesAnswer(Moment Moment, IReadOnlyList<BounceReport> Beams, IReadOnlyList<MirrorSum> Mirrors);

/// <summary>Follows the beams of a moment over the mirrors.</summary>
public static class BouncesQuestion
{
    /// <param name="moment">The moment.</param>
    /// <param name="fixtures">Indices of the fixtures wanted, or null for all.</param>
    /// <param name="reflectedOnly">Whether beams that met no mirror are left out.</param>
    public static BouncesAnswer Answer(Moment moment, IReadOnlySet<FixtureIndex>? fixtures, bool reflectedOnly)
    {
        var scene = OcclusionScene.From(moment);
        IReadOnlyList<BounceReport> reports =
        [
            .. BounceReports.Of(new LightMeter(moment, scene), scene)
                .Where(r => (fixtures is null || fixtures.Contains(r.Fixture)) && (!reflectedOnly || r.Mirrors.Length > 0)),
        ];
        var mirrors = reports.Where(r => r.Mirrors.Length > 0).GroupBy(r => r.Mirrors[^1]).OrderBy(g => g.Key)
            .Select(g => new MirrorSum(Texts.Mirror(moment, g.Key), g.Count(), g.Sum(r => r.Flux), g.Average(r => r.CutOff)));
        return new BouncesAnswer(moment, reports, [.. mirrors]);
    }
}
