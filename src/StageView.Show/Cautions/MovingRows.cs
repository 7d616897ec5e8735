using StageView.Light.Cautions.Limits;
using StageView.Light.Cautions.Moving;
using StageView.Light.Cautions.Volumes;
using StageView.Rig.Pieces;

namespace StageView.Show.Cautions;

/// <summary>What moving pieces did, in rows: one for two fixtures or a fixture and a volume, one for all heads that only turn over a volume.</summary>
internal static class MovingRows
{
    public static IReadOnlyList<MovingFound> Of(
        RigScene rig, MovingPieces pieces, MovingWatch? watch, IReadOnlyList<WatchedVolume> volumes)
    {
        if (watch is null)
        {
            return [];
        }

        var pairs = watch.TooClose.GroupBy(p => (pieces.FixtureOf(p.First), pieces.FixtureOf(p.Second))).Select(g =>
        {
            var p = g.MinBy(p => p.Least.Metres)!;
            return new MovingFound(
                pieces.Pieces[p.First].Name, pieces.Pieces[p.Second].Name, false, false, 1, p.Least.Metres, g.Min(x => x.CouldBeMetres), p.MetresPerSecond,
                pieces.FixtureOf(p.First).Value, p.Least.PointA, p.Seconds, p.Seconds, p.Seconds);
        });
        // Heads that only turn over one volume are one row.
        var passes = watch.Passes
            .GroupBy(p => (p.Volume, Who: pieces.Travels(p.Piece) ? pieces.FixtureOf(p.Piece).Value : -1)).Select(g =>
        {
            var p = g.MinBy(p => p.Least.Metres)!;
            var heads = g.Select(x => pieces.FixtureOf(x.Piece)).Distinct().Count();
            return new MovingFound(
                heads == 1 ? pieces.Pieces[p.Piece].Name : rig.Fixtures[pieces.FixtureOf(p.Piece).Value].Name, volumes[p.Volume].Name, true,
                g.Any(x => x.IsOver),
                heads, p.Least.Metres, p.Least.Metres, g.Max(x => x.MetresPerSecond), pieces.FixtureOf(p.Piece).Value, p.Least.PointA, p.Seconds,
                g.Min(x => x.From), g.Max(x => x.To));
        });
        return [.. passes.OrderBy(m => m.Metres).ThenBy(m => m.From), .. pairs.OrderBy(m => m.Metres).ThenBy(m => m.From)];
    }

    /// <summary>The two moving pieces that came closest to each other, or null; pieces of one group are not compared.</summary>
    public static MovingFound? Closest(MovingPieces pieces, MovingWatch? watch) => watch?.Clearances is not [var p, ..] ? null
        : new MovingFound(pieces.Pieces[p.First].Name, pieces.Pieces[p.Second].Name, false, false, 1, p.Least.Metres, p.CouldBeMetres, p.MetresPerSecond,
            pieces.FixtureOf(p.First).Value, p.Least.PointA, p.Seconds, p.Seconds, p.Seconds);

    public static IReadOnlyList<TopSpeed> Speeds(MovingPieces pieces, MovingWatch? watch, CautionLimits limits) => watch is null ? [] :
        [.. Enumerable.Range(0, pieces.Pieces.Count).Where(pieces.Travels)
            .Select(i => (pieces.Pieces[i].Name, Fastest: watch.Fastest(i)))
            .Where(x => x.Fastest.MetresPerSecond > limits.MovingMetresPerSecond)
            .GroupBy(x => x.Name).Select(g => g.MaxBy(x => x.Fastest.MetresPerSecond))
            .Select(x => new TopSpeed(x.Name, x.Fastest.MetresPerSecond, x.Fastest.Seconds))
            .OrderByDescending(s => s.MetresPerSecond).ThenBy(s => s.Piece)];
}
