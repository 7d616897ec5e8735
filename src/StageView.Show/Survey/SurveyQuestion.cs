using StageView.Ground.Files;
using StageView.Rig.Pieces;
using StageView.Show.Rigs;
using StageView.Stage.Survey;

namespace StageView.Show.Survey;

/// <summary>Works out where parts of a rig really hang, from heads that were aimed at marks.</summary>
public static class SurveyQuestion
{
    private const int MostBytes = 16 << 20;

    /// <param name="asked">What is asked.</param>
    /// <param name="tell">Told each warning, a text each.</param>
    /// <exception cref="StopException">A file can't be used, or a sighting has no pan and tilt.</exception>
    public static SurveyAnswer Answer(SurveyAsked asked, Action<string>? tell = null)
    {
        var rig = RigFiles.Open(asked.Rig, asked.Venue, tell: tell);
        var marks = Read(rig, asked.Marks);
        var used = SightedAngles.Of(rig, marks.Sightings, asked, tell);
        return new SurveyAnswer(rig, marks.Name,
            [.. used.GroupBy(u => u.Sighting.Part.Index).OrderBy(g => g.Key.Value).Select(g => Solve(rig.Parts[g.Key.Value], [.. g], asked.Spread))]);
    }

    private static MarksFile Read(RigScene rig, string path)
    {
        if (!BoundedFile.TryRead(path, MostBytes, out var bytes, out var why))
        {
            throw StopException.Wrong($"{path}: {why}");
        }

        return MarksFile.TryRead(rig, bytes, path, out var problems) ?? throw StopException.Wrong(string.Join(Environment.NewLine, problems));
    }

    private static SurveyedPart Solve(RigPart part, IReadOnlyList<UsedSighting> sightings, AngleSpread spread)
    {
        SightedRay[] rays = [.. sightings.Select(s => SightedRay.Of(s.Sighting, s.Pan, s.Tilt))];
        var answer = new SurveyedPart { Part = part, Sightings = sightings, State = SurveyState.Weak };
        if (WeakGeometry.Of(rays, null) is { } few)
        {
            return answer with { Why = few.Why, Cure = few.Cure };
        }

        var fit = PoseSolver.Solve(rays, spread);
        var fits = SightingDoubts.Fits(fit);
        answer = answer with { Fit = fit };
        if (WeakGeometry.Of(rays, fit) is { } weak && (fits || fit.Covariance is null))
        {
            return answer with { Why = weak.Why, Cure = weak.Cure };
        }

        return fits ? answer with { State = SurveyState.Known } : SightingDoubts.Tell(answer, rays, spread);
    }
}
