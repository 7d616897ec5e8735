using StageView.Snapshot.Frames;

namespace StageView.Snapshot.Why;

/// <summary>What of two frames' pictures lies under whose light, and under which scenery.</summary>
internal sealed class CoveredBy
{
    private readonly ILookup<string, ScreenCover> _fixtures;
    private readonly ILookup<string, ScreenCover> _pieces;

    public CoveredBy(FrameSidecar before, FrameSidecar after)
    {
        var fixtures = before.Fixtures.Concat(after.Fixtures).SelectMany(f => f.Covers, (f, c) => (f.Name, Cover: c)).ToList();
        _fixtures = fixtures.ToLookup(c => c.Name, c => c.Cover, StringComparer.Ordinal);

        // A mirror does to the picture what it shows, and what it throws elsewhere.
        _pieces = before.Pieces.Concat(after.Pieces).SelectMany(p => p.Covers, (p, c) => (p.Name, Cover: c))
            .Concat(fixtures.Where(c => c.Cover.Over is not null).Select(c => (Name: c.Cover.Over!, c.Cover)))
            .ToLookup(c => c.Name, c => c.Cover, StringComparer.Ordinal);
    }

    /// <summary>The share of the changed pixels under some fixtures' light, 0 to 1; null where that can't be told.</summary>
    public double? ShareOf(IEnumerable<string> fixtures, ChangedGrid? grid) => grid?.Under([.. fixtures.SelectMany(f => _fixtures[f])]);

    /// <summary>
    /// Which share of what lies under a cause's light and pieces changed, as a weight: 1 where all of it did or nothing can be told, .25 where next to nothing
    /// did.
    /// </summary>
    public double FitOf(Cause cause, ChangedGrid? grid)
    {
        var under = (cause.Fixtures ?? (cause.Kind is CauseKind.Fixture or CauseKind.Attribute ? [cause.Subject] : [])).SelectMany(f => _fixtures[f])
            .Concat((cause.Pieces ?? []).SelectMany(p => _pieces[p])).ToList();
        return grid is null || under.Count == 0 ? 1 : 0.25 + (0.75 * grid.ChangedOf(under));
    }

    /// <summary>The same for a cause of the rig: under its fixtures' light and its pieces; all of it for what is everywhere, such as haze.</summary>
    public double? ShareOf(Cause cause, ChangedGrid? grid)
    {
        if (grid is null)
        {
            return null;
        }

        return cause is { Fixtures: null, Pieces: null } ? 1
            : grid.Under([.. (cause.Fixtures ?? []).SelectMany(f => _fixtures[f]), .. (cause.Pieces ?? []).SelectMany(p => _pieces[p])]);
    }
}
