using System.Numerics;
using StageView.Live.Terms;
using StageView.Show.Refocus;

namespace StageView.Live.Shown;

/// <summary>Positions in another venue as lines of the page.</summary>
internal static class RefocusLines
{
    /// <param name="row">A position.</param>
    /// <param name="place">Its place in the answer.</param>
    public static RefocusLine Of(RefocusRow row, int place) => new(
        place, row.Fixture, row.FixtureNumber, row.Hang, row.Position, row.Cues, row.Times[0], RefocusFiles.Said(row.State), Weight(row.State),
        row.Anchor.Text, row.Anchor.Why, row.Remark, row.OldPan, row.OldTilt, row.NewPan, row.NewTilt, row.LuxFactor, row.SpotFactor, Points(row.Anchor.Way),
        Points(row.Way), row.At is { } at ? Three(at) : null, [.. row.Channels.Select(AimWays.Values)]);

    private static string Weight(RefocusState state) => state switch
    {
        RefocusState.NotThere or RefocusState.OutOfReach => "trouble",
        RefocusState.Obstructed or RefocusState.Audience => "warning",
        RefocusState.Kept => "kept",
        _ => "note",
    };

    private static IReadOnlyList<float[]> Points(IReadOnlyList<Vector3> way) => [.. way.Select(Three)];

    private static float[] Three(Vector3 v) => [v.X, v.Y, v.Z];
}
