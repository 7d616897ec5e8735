using StageView.Show.Questions;

namespace StageView.Show.Cautions;

/// <summary>Reasons to look in an answer about lasers, a sentence each.</summary>
public static class LaserReasons
{
    /// <summary>Never empty: without a reason it says how far the check went.</summary>
    public static IReadOnlyList<string> Of(LasersAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        var all = new List<string>();
        if (answer.Ends.Count == 0)
        {
            return ["no laser is on in the moments looked at: nothing could be checked"];
        }

        all.AddRange(answer.Volumes.Where(v => v.Enters).Select(v =>
            $"{v.Fixture} enters {v.Volume} at {Texts.Point(v.Point)}: exposure {LaserWords.Figure(v.ExposureRatio)} times the limit"));
        all.AddRange(answer.Volumes.Where(v => v.IsListed && !v.Enters).Select(v =>
            $"{v.Fixture} passes {Texts.F(v.LeastSeparation, "0.00")} m from {v.Volume}"
            + (v.LeastHeight is { } h ? $", {Texts.F(h, "0.00")} m over its floor" : "")));
        all.AddRange(answer.Ends.Where(e => e.IsOpen).Select(e => $"{e.Fixture} ends on nothing within 200 m (E{e.Number})"));
        all.AddRange(answer.Ends.Where(e => e.VolumeInDiffuse.Length > 0).Select(e =>
            $"light that {e.Surface} scatters exceeds the limit in {e.VolumeInDiffuse} (E{e.Number}, within {LaserWords.Metres(e.DiffuseHazardDistance)} m)"));
        if (answer.Volumes.Count == 0)
        {
            all.Add("the rig names no volumes: heights over people and distances from them could not be checked");
        }

        return all.Count > 0 ? all
            : [$"none found by this check in {answer.Moments.Count} moments; what it did not look at stands at the end"];
    }
}
