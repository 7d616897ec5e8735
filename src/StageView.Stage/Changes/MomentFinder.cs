namespace StageView.Stage.Changes;

/// <summary>Chooses times worth a picture: half-way through each change, the settled look after it, the height of a flash.</summary>
public static class MomentFinder
{
    /// <summary>Heads travel on after the levels rest: a look counts as settled this long after them, unless the next change comes first.</summary>
    private static readonly TimeSpan _travel = TimeSpan.FromSeconds(1.5);

    private static readonly TimeSpan _before = TimeSpan.FromSeconds(0.05);

    /// <summary>Changes shorter than this have no picture of their own way.</summary>
    private static readonly TimeSpan _shortest = TimeSpan.FromSeconds(0.25);

    /// <param name="changes">Changes in order of time.</param>
    /// <param name="end">End of the capture.</param>
    public static IReadOnlyList<FoundMoment> Choose(IReadOnlyList<FoundChange> changes, TimeSpan end)
    {
        ArgumentNullException.ThrowIfNull(changes);
        var moments = new List<FoundMoment>();
        if (changes.Count > 0 && changes[0].Start > TimeSpan.FromSeconds(0.2))
        {
            moments.Add(new FoundMoment(Round(Least(_travel, changes[0].Start - _before)), "settled", "settled before the first change", null));
        }

        for (var i = 0; i < changes.Count; i++)
        {
            var c = changes[i];
            var next = i + 1 < changes.Count ? changes[i + 1].Start - _before : end;
            if (c.IsFlash)
            {
                moments.Add(Make(c.Peak, c, "flash", "the height of a flash"));
            }
            else if (c.Settled - c.Start >= _shortest)
            {
                moments.Add(Make(c.Start + ((c.Settled - c.Start) / 2), c, "halfway", "half-way through a change"));
            }

            var settled = Least(c.Settled + _travel, next);
            if (settled > c.Start && (!c.IsFlash || settled > c.Peak))
            {
                moments.Add(Make(settled, c, "settled", "settled after a change"));
            }
        }

        return moments;
    }

    private static TimeSpan Round(TimeSpan at) => TimeSpan.FromMilliseconds(Math.Round(at.TotalMilliseconds));

    private static TimeSpan Least(TimeSpan a, TimeSpan b) => a < b ? a : b;

    private static FoundMoment Make(TimeSpan at, FoundChange change, string what, string why) =>
        new(Round(at), what, why, change);
}
