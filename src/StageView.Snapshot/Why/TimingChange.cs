using System.Globalization;
using StageView.Snapshot.Frames;

namespace StageView.Snapshot.Why;

/// <summary>A change of the capture that both runs have, at other times; or that only one has.</summary>
public sealed record TimingChange(ChangeRecord? Before, ChangeRecord? After)
{
    /// <summary>How many changes after it share its delay (a run of changes that all moved alike is told once).</summary>
    public int Followers { get; init; }

    /// <summary>From the earliest start to the latest end of the two, s: frames in between may differ because of it.</summary>
    public (double From, double To) Window => (
        Math.Min(Before?.Start ?? double.MaxValue, After?.Start ?? double.MaxValue),
        Math.Max(Before?.Settled ?? 0, After?.Settled ?? 0));

    public Cause ToCause()
    {
        var title = (After ?? Before)!.Title;
        if (Before is null || After is null)
        {
            return new Cause
            {
                Kind = CauseKind.Timing, Subject = title, What = $"only in the {(Before is null ? "new" : "base")} capture, at {S((After ?? Before)!.Start)}",
            };
        }

        var (late, longer) = (After.Start - Before.Start, (After.Settled - After.Start) - (Before.Settled - Before.Start));
        var what = Math.Abs(late) > Math.Abs(longer)
            ? $"starts {S(Math.Abs(late))} {(late > 0 ? "later" : "earlier")}{(Followers > 0 ? $", and {Followers} changes after it" : "")}:"
            : $"takes {S(Math.Abs(longer))} {(longer > 0 ? "longer" : "less")}:";
        var starts = Math.Abs(late) > Math.Abs(longer);
        return new Cause
        {
            Kind = CauseKind.Timing,
            Subject = title,
            What = what,
            Before = S(starts ? Before.Start : Before.Settled - Before.Start),
            After = S(starts ? After.Start : After.Settled - After.Start),
        };
    }

    private static string S(double seconds) => seconds.ToString("0.###", CultureInfo.InvariantCulture) + " s";
}
