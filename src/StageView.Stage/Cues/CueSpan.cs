using StageView.Rig.Source;

namespace StageView.Stage.Cues;

/// <summary>From when to when a chase or a pattern runs.</summary>
internal static class CueSpan
{
    public static bool TryRead(SourceNode e, CueClock clock, ProblemList problems, out double from, out double to)
    {
        to = 0;
        if (!clock.TryRead(e.Get("from")!, problems, out from) || !clock.TryRead(e.Get("to")!, problems, out to))
        {
            return false;
        }

        if (to > from)
        {
            return true;
        }

        problems.Error(e.Get("to")!, "ends before it starts: \"to\" must lie after \"from\"");
        return false;
    }

    /// <summary>How far it has come up: 0 at both ends, 1 where it is further from them than the fade.</summary>
    public static double Envelope(double t, double from, double to, double fade) =>
        fade <= 0 ? 1 : Math.Clamp(Math.Min((t - from) / fade, (to - t) / fade), 0, 1);

    /// <summary>A number of a checked node.</summary>
    public static double DoubleOr(this SourceNode node, string key, double otherwise) =>
        node.Get(key) is { Kind: SourceKind.Number } v ? v.Number : otherwise;
}
