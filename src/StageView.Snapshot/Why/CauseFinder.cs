using StageView.Snapshot.Compare;
using StageView.Snapshot.Frames;

namespace StageView.Snapshot.Why;

/// <summary>Names why two frames differ, from what lies beside them.</summary>
public static class CauseFinder
{
    /// <param name="before">Sidecar of the base frame.</param>
    /// <param name="after">Sidecar of the new frame.</param>
    /// <param name="whole">What differs between the two runs as a whole.</param>
    /// <param name="timing">Changes of the capture that come at other times.</param>
    /// <param name="map">What became of each pixel, or null when pictures weren't compared.</param>
    /// <returns>Sorted: what does most to the picture first, what only follows from another cause last.</returns>
    public static IReadOnlyList<Cause> Find(
        FrameSidecar before, FrameSidecar after, IReadOnlyList<Cause> whole, IReadOnlyList<TimingChange> timing, ChangeMap? map)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        ArgumentNullException.ThrowIfNull(whole);
        ArgumentNullException.ThrowIfNull(timing);
        var grid = map is null ? null : new ChangedGrid(map);
        var covers = new CoveredBy(before, after);
        var causes = new List<Cause>();
        Frame(before, after, causes);
        var states = FixtureDiff.Of(before, after).ToList();
        causes.AddRange(whole.Where(c => c.Kind == CauseKind.Rig && !IsOtherCamera(c, after)).Select(c => c with { Share = covers.ShareOf(c, grid) }));
        causes.AddRange(timing.Where(t => InWindow(t, before) || InWindow(t, after))
            .Select(t => t.ToCause() with { Share = covers.ShareOf([.. states.Select(s => s.Subject)], grid) }));
        causes.AddRange(states.Select(s => s with { Share = covers.ShareOf([s.Subject], grid), Follows = Leader(s, causes) ?? s.Follows }));
        // What lies under a cause and did not change speaks against it: scenery that fills the picture did not do what a beam in front of it did.
        return [.. causes.OrderBy(c => c.Follows is not null).ThenByDescending(c => (c.Share ?? 0) * covers.FitOf(c, grid))
            .ThenBy(c => c.What is not (FactsDiff.Gone or FactsDiff.New)).ThenBy(c => c.Kind).ThenBy(c => c.Subject, StringComparer.Ordinal)];
    }

    /// <summary>What fixtures do otherwise, in order of their names.</summary>
    public static IReadOnlyList<Cause> OtherLevels(FrameSidecar before, FrameSidecar after)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        return [.. FixtureDiff.Of(before, after)];
    }

    /// <summary>A camera that moved does nothing to another camera's picture.</summary>
    private static bool IsOtherCamera(Cause cause, FrameSidecar frame) =>
        cause.Subject.StartsWith("camera ", StringComparison.Ordinal) && cause.Subject["camera ".Length..] != frame.Camera;

    private static bool InWindow(TimingChange change, FrameSidecar frame) =>
        frame.Seconds >= change.Window.From - 0.05 && (change.Followers > 0 || frame.Seconds <= change.Window.To + 0.05);

    private static void Frame(FrameSidecar before, FrameSidecar after, List<Cause> causes)
    {
        if ((before.Renderer, before.Driver) != (after.Renderer, after.Driver))
        {
            causes.Add(new Cause
            {
                Kind = CauseKind.Renderer,
                Subject = "renderer",
                Before = $"{before.Renderer}, {before.Driver}",
                After = $"{after.Renderer}, {after.Driver}",
            });
        }

        if (before.Detail != after.Detail)
        {
            causes.Add(new Cause { Kind = CauseKind.Renderer, Subject = "detail", Before = before.Detail ?? "normal", After = after.Detail ?? "normal" });
        }

        if (before.Camera != after.Camera)
        {
            causes.Add(new Cause { Kind = CauseKind.Moment, Subject = "camera", Before = before.Camera, After = after.Camera, Share = 1 });
        }

        if (Math.Abs(before.Seconds - after.Seconds) > TimingDiff.LeastSeconds)
        {
            causes.Add(new Cause
            {
                Kind = CauseKind.Moment,
                Subject = "moment",
                Before = Amounts.Say(before.Seconds, "s", before.Timecode),
                After = Amounts.Say(after.Seconds, "s", after.Timecode),
            });
        }
    }

    /// <summary>The cause that a fixture's new state only follows from: its own mode or patch, or a change that comes at another time.</summary>
    private static string? Leader(Cause state, List<Cause> causes)
    {
        var own = causes.FirstOrDefault(c => c.Kind == CauseKind.Rig && c.Fixtures?.Contains(state.Subject) == true
            && (c.What is "mode" or "type" or "address" or FactsDiff.Gone or FactsDiff.New
                || Makes(c.What, state.What)));
        return (own ?? causes.FirstOrDefault(c => c.Kind == CauseKind.Timing))?.Text;
    }

    /// <summary>Whether a property of a rig or a profile makes an attribute what it is: a gel the colour, the range of the zoom the zoom.</summary>
    private static bool Makes(string property, string attribute)
    {
        var (colour, flux) = (attribute.EndsWith("colour", StringComparison.Ordinal), attribute.EndsWith("flux", StringComparison.Ordinal));
        return property == "gel" || property.StartsWith("white of", StringComparison.Ordinal) ? colour || flux
            : property.StartsWith("flux of", StringComparison.Ordinal) ? flux
            : attribute.EndsWith(property, StringComparison.OrdinalIgnoreCase);
    }
}
