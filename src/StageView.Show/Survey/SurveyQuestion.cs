using StageView.Ground.Files;
using StageView.Rig.Pieces;
using StageView.Show.Rigs;
using StageView.Stage.Survey;

namespace StageView.Show.Survey;

/// <summary>A rig and the marks file that was read against it.</summary>
/// <param name="Rig">The rig under its venue.</param>
/// <param name="Marks">The marks file.</param>
/// <param name="Text">Its bytes.</param>
public sealed record OpenedSurvey(RigScene Rig, MarksFile Marks, byte[] Text);

/// <summary>Works out where parts of a rig really hang, from heads that were aimed at marks.</summary>
public static class SurveyQuestion
{
    private const int MostBytes = 16 << 20;

    /// <param name="asked">What is asked.</param>
    /// <param name="tell">Told each warning, a text each.</param>
    /// <exception cref="StopException">A file can't be used, or a sighting has no pan and tilt.</exception>
    public static SurveyAnswer Answer(SurveyAsked asked, Action<string>? tell = null)
    {
        var opened = Open(asked, tell);
        return Answer(opened, SightedAngles.Of(opened.Rig, opened.Marks.Sightings, asked, tell), asked.Spread);
    }

    /// <summary>Opens the files alone.</summary>
    /// <exception cref="StopException">One can't be used.</exception>
    public static OpenedSurvey Open(SurveyAsked asked, Action<string>? tell = null)
    {
        var rig = RigFiles.Open(asked.Rig, asked.Venue, tell: tell);
        if (!BoundedFile.TryRead(asked.Marks, MostBytes, out var bytes, out var why))
        {
            throw StopException.Wrong($"{asked.Marks}: {why}");
        }

        var marks = MarksFile.TryRead(rig, bytes, asked.Marks, out var problems)
            ?? throw StopException.Wrong(string.Join(Environment.NewLine, problems));
        return new OpenedSurvey(rig, marks, bytes);
    }

    /// <summary>The answer from sightings whose pan and tilt are known.</summary>
    /// <param name="opened">The files.</param>
    /// <param name="used">The sightings that count.</param>
    /// <param name="spread">How far off readings are taken to be.</param>
    public static SurveyAnswer Answer(OpenedSurvey opened, IReadOnlyList<UsedSighting> used, AngleSpread spread) => new(
        opened.Rig, opened.Marks.Name,
        [.. used.GroupBy(u => u.Sighting.Part.Index).OrderBy(g => g.Key.Value).Select(g => Solve(opened.Rig.Parts[g.Key.Value], [.. g], spread))]);

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
