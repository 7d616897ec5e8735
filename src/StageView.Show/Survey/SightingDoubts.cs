using System.Globalization;
using StageView.Stage.Survey;

namespace StageView.Show.Survey;

/// <summary>Sightings that contradict each other: which of them is likely wrong.</summary>
internal sealed class SightingDoubts
{
    /// <summary>So many sightings, marks or heads are left out in turn; of more the worst is taken by its test, as good for small mistakes.</summary>
    private const int MostTried = 40;

    private readonly SurveyedPart _part;
    private readonly IReadOnlyList<SightedRay> _rays;
    private readonly AngleSpread _spread;

    private SightingDoubts(SurveyedPart part, IReadOnlyList<SightedRay> rays, AngleSpread spread) => (_part, _rays, _spread) = (part, rays, spread);

    /// <summary>Whether all readings can be as good as stated.</summary>
    public static bool Fits(PoseFit fit) => fit.Cost <= ChiSquare.OnceInAThousand(fit.Freedom);

    /// <summary>A part whose sightings don't fit, with what is likely wrong with them.</summary>
    public static SurveyedPart Tell(SurveyedPart part, IReadOnlyList<SightedRay> rays, AngleSpread spread) => new SightingDoubts(part, rays, spread).Told();

    private SurveyedPart Told()
    {
        var fit = _part.Fit!;
        var left = _rays.Count <= MostTried ? Enumerable.Range(0, _rays.Count).Select(i => Without(k => k == i)).ToArray() : [];
        var worst = Enumerable.Range(0, _rays.Count).MinBy(i => left.Length > 0 && left[i] is { } l ? l.Cost : -fit.Sightings[i].Test);
        var s = _part.Sightings[worst].Sighting;
        return _part with
        {
            State = SurveyState.Doubtful,
            Worst = worst,
            Why = string.Create(CultureInfo.InvariantCulture,
                $"its sightings don't fit together: the angles are off by {Math.Sqrt(fit.Cost / fit.Freedom):0.0} times what is stated for them. Worst: ")
                + $"{s.Fixture.Name} on {s.Mark} ({s.Place.FileAndLine})",
            Cure = Cure(worst, left.Length > 0 ? left : [Without(k => k == worst)]),
        };
    }

    /// <summary>The one sighting, the one mark or the one head without which the others fit.</summary>
    private string Cure(int worst, IReadOnlyList<PoseFit?> left)
    {
        if (left.All(l => l is null))
        {
            return "so few can't tell which one is wrong: add sightings";
        }

        var (all, s) = (_part.Sightings, _part.Sightings[worst].Sighting);
        var alike = left.Count(l => l is not null && Fits(l));
        if (alike > 0)
        {
            return (alike > 1 ? $"without it the others fit, but any one of {alike} could be wrong: add sightings, or " : "without it the others fit: ")
                + "aim and read that one again, or leave it out";
        }

        if (all.Select(u => u.Sighting.Mark).Distinct().Take(MostTried).FirstOrDefault(m => FitWithout(i => all[i].Sighting.Mark == m)) is { } mark)
        {
            return $"without the mark {mark} the others fit: measure it again";
        }

        if (all.Select(u => u.Sighting.Fixture).Distinct().Take(MostTried).FirstOrDefault(f => FitWithout(i => all[i].Sighting.Fixture == f)) is { } head)
        {
            return $"without {head.Name} the others fit: does it sit straight on the part, where the rig file has it, pan and tilt the right way round?";
        }

        return $"without {s.Fixture.Name} on {s.Mark} the others don't fit either: are the marks and the heads' places on the part right, is it straight? "
            + "Where heads are known to sit askew, state it with a larger --sigma";
    }

    private bool FitWithout(Func<int, bool> left) => Without(left) is { } fit && Fits(fit);

    /// <summary>How the others fit; null where they are too few or too weak to tell.</summary>
    private PoseFit? Without(Func<int, bool> left)
    {
        SightedRay[] kept = [.. _rays.Where((_, i) => !left(i))];
        return WeakGeometry.Of(kept, null) is null && PoseSolver.Solve(kept, _spread) is { Covariance: not null } fit ? fit : null;
    }
}
