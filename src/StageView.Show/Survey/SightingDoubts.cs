using System.Globalization;
using StageView.Stage.Survey;

namespace StageView.Show.Survey;

/// <summary>Sightings that contradict each other: which of them is likely wrong.</summary>
internal static class SightingDoubts
{
    /// <summary>Whether all readings can be as good as stated.</summary>
    public static bool Fits(PoseFit fit) => fit.Cost <= ChiSquare.OnceInAThousand(fit.Freedom);

    /// <summary>A part whose sightings don't fit, with what is likely wrong with them.</summary>
    public static SurveyedPart Tell(SurveyedPart part, IReadOnlyList<SightedRay> rays, AngleSpread spread)
    {
        var fit = part.Fit!;
        var worst = Enumerable.Range(0, rays.Count).MaxBy(i => fit.Sightings[i].Test);
        var times = Math.Sqrt(fit.Cost / fit.Freedom);
        var s = part.Sightings[worst].Sighting;
        return part with
        {
            State = SurveyState.Doubtful,
            Worst = worst,
            Why = string.Create(CultureInfo.InvariantCulture,
                $"its sightings don't fit together: the angles are off by {times:0.0} times what is stated for them. Worst: {s.Fixture.Name} on {s.Mark} ")
                + $"({s.Place.FileAndLine})",
            Cure = Cure(part, rays, spread, worst),
        };
    }

    /// <summary>The one sighting, the one mark or the one head without which the others fit.</summary>
    private static string Cure(SurveyedPart part, IReadOnlyList<SightedRay> rays, AngleSpread spread, int worst)
    {
        var (fit, all, s) = (part.Fit!, part.Sightings, part.Sightings[worst].Sighting);
        var alike = fit.Sightings.Count(f => f.Test > fit.Sightings[worst].Test - 4);
        if (alike > 1 && fit.Freedom <= 2)
        {
            return "so few can't tell which one is wrong: add sightings";
        }

        if (FitsWithout(i => i == worst))
        {
            return (alike > 1 ? $"without it the others fit, but {alike} of them could be the wrong one: add sightings, or "
                : "without it the others fit: ") + "aim and read that one again, or leave it out";
        }

        if (all.Select(u => u.Sighting.Mark).Distinct().FirstOrDefault(m => FitsWithout(i => all[i].Sighting.Mark == m)) is { } mark)
        {
            return $"without the mark {mark} the others fit: measure it again";
        }

        if (all.Select(u => u.Sighting.Fixture).Distinct().FirstOrDefault(f => FitsWithout(i => all[i].Sighting.Fixture == f)) is { } head)
        {
            return $"without {head.Name} the others fit: does it sit straight on the part, where the rig file has it, pan and tilt the right way round?";
        }

        return $"without {s.Fixture.Name} on {s.Mark} the others don't fit either: are the marks and the heads' places on the part right, is it straight? "
            + "Where heads are known to sit askew, state it with a larger --sigma";

        bool FitsWithout(Func<int, bool> left)
        {
            SightedRay[] kept = [.. rays.Where((_, i) => !left(i))];
            return kept.Length >= WeakGeometry.FewestSightings && kept.Length < rays.Count && WeakGeometry.Of(kept, null) is null
                && PoseSolver.Solve(kept, spread) is { Covariance: not null } fit && Fits(fit);
        }
    }
}
