using StageView.Ground.Words;

namespace StageView.Live.Terms;

/// <summary>The worst that can be said of the universes that the rig is patched to.</summary>
/// <param name="State"><c>heard</c>, <c>silent</c> (some never came) or <c>lost</c> (some came and come no more, or nothing is listened to).</param>
/// <param name="Text">In words: <c>network lost</c>, or how many of how many.</param>
internal sealed record NetworkStanding(string State, string Text)
{
    /// <param name="listens">Whether anything is listened to.</param>
    /// <param name="universes">All that are patched or heard.</param>
    public static NetworkStanding Of(bool listens, IReadOnlyList<UniverseLine> universes)
    {
        var patched = universes.Where(u => u.State != "unpatched").ToList();
        var (lost, silent) = (patched.Count(u => u.State == "lost"), patched.Count(u => u.State == "silent"));
        if (!listens)
        {
            return new NetworkStanding("lost", "network lost");
        }

        if (lost + silent == 0)
        {
            return new NetworkStanding("heard", "network");
        }

        var state = lost > 0 ? "lost" : "silent";
        return new NetworkStanding(state, lost + silent == patched.Count ? "network " + state
            : $"{(lost > 0 ? lost : silent)} of {Counted.Of(patched.Count, "universe")} {state}");
    }
}
