using System.Numerics;

namespace StageView.Light.Scans;

/// <summary>One of the rays that stand for a scanned figure.</summary>
/// <param name="Direction">rad right and up of the scan's middle; always on a lit part of the figure.</param>
/// <param name="Share">Share of the laser's power, averaged over the pattern.</param>
/// <param name="Radius">The farthest lit part of the figure that it stands for, rad from <paramref name="Direction"/>.</param>
public readonly record struct ScanRay(Vector2 Direction, float Share, float Radius);

/// <summary>
/// Makes rays of a scanned figure: places where the beam rests become one ray each, strokes are cut into even pieces. Their shares add up to the mean power,
/// so that haze and surfaces get on average what the scanned beam gives them; between the rays of a stroke there is a gap that the figure does not have.
/// </summary>
internal static class ScanRays
{
    /// <summary>No figure becomes more rays than this.</summary>
    public const int Most = 128;

    private const float Same = 1e-6f;

    public static ScanRay[] Of(ReadOnlySpan<ScanPoint> points)
    {
        var pieces = Pieces(points);
        var length = pieces.Sum(p => p.Length);
        var step = length / (Most * 0.75f);
        var groups = new List<List<Piece>>();
        foreach (var piece in pieces.SelectMany(p => Cut(p, step)))
        {
            // A stroke shorter than a step goes with what it leads on from; a jump in the dark begins a new ray.
            if (groups.Count > 0 && groups[^1] is var last && Vector2.Distance(last[^1].To, piece.From) <= Same
                && last.Sum(p => p.Length) + piece.Length <= step * 1.001f)
            {
                last.Add(piece);
            }
            else
            {
                groups.Add([piece]);
            }
        }

        while (groups.Count > Most)
        {
            groups = [.. groups.Chunk(2).Select(pair => pair.SelectMany(g => g).ToList())];
        }

        return [.. groups.Select(Ray)];
    }

    private static List<Piece> Pieces(ReadOnlySpan<ScanPoint> points)
    {
        var pieces = new List<Piece>();
        for (var i = 0; i < points.Length; i++)
        {
            var (from, to) = (points[(i + points.Length - 1) % points.Length].Direction, points[i]);
            if (to.Share <= 0)
            {
                continue;
            }

            var piece = new Piece(from, to.Direction, to.Share / points.Length);
            if (pieces.Count > 0 && piece.Length <= Same && pieces[^1].Length <= Same && Vector2.Distance(pieces[^1].To, piece.To) <= Same)
            {
                pieces[^1] = pieces[^1] with { Share = pieces[^1].Share + piece.Share };
            }
            else
            {
                pieces.Add(piece);
            }
        }

        return pieces;
    }

    private static IEnumerable<Piece> Cut(Piece piece, float step)
    {
        var n = step > 0 ? Math.Max(1, (int)MathF.Ceiling((piece.Length / step) - 0.001f)) : 1;
        for (var i = 0; i < n; i++)
        {
            yield return new Piece(Vector2.Lerp(piece.From, piece.To, (float)i / n), Vector2.Lerp(piece.From, piece.To, (i + 1f) / n), piece.Share / n);
        }
    }

    /// <summary>The group's ray lies where half of its light is on either side.</summary>
    private static ScanRay Ray(List<Piece> group)
    {
        var share = group.Sum(p => p.Share);
        var (before, direction) = (0f, group[0].From);
        foreach (var p in group)
        {
            if (before + p.Share >= share / 2)
            {
                direction = Vector2.Lerp(p.From, p.To, p.Share > 0 ? ((share / 2) - before) / p.Share : 0);
                break;
            }

            before += p.Share;
        }

        return new ScanRay(direction, share, group.Max(p => MathF.Max(Vector2.Distance(p.From, direction), Vector2.Distance(p.To, direction))));
    }

    /// <param name="From">Where the beam comes from, rad.</param>
    /// <param name="To">Where it goes, rad.</param>
    /// <param name="Share">Share of the power, averaged over the pattern.</param>
    private readonly record struct Piece(Vector2 From, Vector2 To, float Share)
    {
        public float Length => Vector2.Distance(From, To);
    }
}
