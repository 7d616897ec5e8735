using System.Globalization;
using StageView.Rig.Pieces;
using StageView.Show.Content;
using StageView.Show.Sources;
using StageView.Snapshot.Frames;
using StageView.Stage;
using StageView.Wire.Clock;

namespace StageView.Show.Snap;

/// <summary>
/// Tells the contents of two shows apart: what their rigs say of them, and, where content starts at a timecode, when each shows what. Content by show time
/// runs from the start of a capture, which is no part of the show.
/// </summary>
internal sealed class ContentComparison
{
    /// <summary>The longest frame of timecode, s: labels come once a frame.</summary>
    private const double Frame = 1.0 / 24;

    private readonly RigScene _first;
    private readonly RigScene _second;
    private readonly List<Pair> _pairs;
    private readonly TimecodeTrack? _firstTrack;
    private readonly TimecodeTrack? _secondTrack;
    private readonly ShowTolerance _tolerance;

    public ContentComparison(CaptureShow first, CaptureShow second, ShowTolerance tolerance)
    {
        (_first, _second, _tolerance) = (first.Stage.Rig, second.Stage.Rig, tolerance);
        _pairs = [.. _first.Content.Join(_second.Content, c => c.Name, c => c.Name, (a, b) => new Pair(a, b))
            .Where(p => p.First.StartTimecode is not null && p.Second.StartTimecode is not null)];
        if (_pairs.Count > 0)
        {
            (_firstTrack, _secondTrack) = (first.Timecodes(), second.Timecodes());
        }
    }

    /// <summary>Looks at one time of the first show, s, and the same of the second; times must come in order.</summary>
    public void Look(double t, double u)
    {
        foreach (var pair in _pairs)
        {
            var (a, b) = (Within(pair.First, t, _firstTrack), Within(pair.Second, u, _secondTrack));
            var give = Math.Max(_tolerance.Seconds, Frame) * Math.Max(pair.First.Pace, pair.Second.Pace);

            // At its start one may be in a moment before the other.
            var differ = a is { } x && b is { } y ? Math.Abs(x - y) > give : (a ?? b) is { } alone && alone - Offset(pair, a is not null) > give;
            pair.Take(t, differ, a, b);
        }
    }

    /// <summary>What is different, a text each.</summary>
    public IReadOnlyList<string> Finish() => [.. Facts(), .. _pairs.SelectMany(p => p.Finish())];

    private static double Offset(Pair pair, bool first) => (first ? pair.First : pair.Second).Offset.TotalSeconds;

    private static double? Within(ContentPlacement content, double at, TimecodeTrack? track) =>
        ContentTimes.Since(content, TimeSpan.FromSeconds(at), track) is { } since && since >= TimeSpan.Zero
            ? ((since * content.Pace) + content.Offset).TotalSeconds : null;

    private IEnumerable<string> Facts()
    {
        if (ReferenceEquals(_first, _second))
        {
            return [];
        }

        var (a, b) = (RigFacts.OfContent(_first).ToLookup(f => f.Subject), RigFacts.OfContent(_second).ToLookup(f => f.Subject));
        return a.Select(g => g.Key).Union(b.Select(g => g.Key)).Order(StringComparer.Ordinal).SelectMany(name =>
            !a.Contains(name) ? [$"content \"{name}\" is in the second rig alone"]
            : !b.Contains(name) ? [$"content \"{name}\" is in the first rig alone"]
            : Differences(name, a[name].ToLookup(f => f.Property), b[name].ToLookup(f => f.Property)));
    }

    private static IEnumerable<string> Differences(string name, ILookup<string, RigFact> a, ILookup<string, RigFact> b) =>
        a.Select(g => g.Key).Union(b.Select(g => g.Key)).Order(StringComparer.Ordinal)
            .Select(property => (Property: property, First: Said(a[property]), Second: Said(b[property])))
            .Where(p => p.First != p.Second).Select(p => $"content \"{name}\", {p.Property}: {p.First} -> {p.Second}");

    private static string Said(IEnumerable<RigFact> facts) => string.Join(", ", facts.Select(f =>
        f.Text ?? f.Value?.ToString("0.###", CultureInfo.InvariantCulture) + (f.Unit.Length > 0 ? " " + f.Unit : ""))) is { Length: > 0 } said ? said : "none";

    /// <summary>One content of both.</summary>
    private sealed class Pair(ContentPlacement first, ContentPlacement second)
    {
        private readonly List<string> _found = [];
        private (double From, double To, double? First, double? Second)? _open;

        public ContentPlacement First => first;

        public ContentPlacement Second => second;

        /// <summary>Takes what each shows, s within it, or null for nothing.</summary>
        public void Take(double t, bool differ, double? a, double? b)
        {
            if (!differ)
            {
                Close();
            }
            else
            {
                _open = _open is { } open ? open with { To = t } : (t, t, a, b);
            }
        }

        public List<string> Finish()
        {
            Close();
            return _found;
        }

        private void Close()
        {
            if (_open is { } open)
            {
                _found.Add(string.Create(CultureInfo.InvariantCulture,
                    $"{open.From,8:0.00} to {open.To:0.00} s  content \"{first.Name}\" {Words(open.First)} -> {Words(open.Second)}"));
                _open = null;
            }
        }

        private static string Words(double? at) =>
            at is { } s ? string.Create(CultureInfo.InvariantCulture, $"shows its {s:0.00} s") : "shows nothing";
    }
}
