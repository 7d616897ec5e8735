using System.Globalization;
using StageView.Rig.Source;

namespace StageView.Stage.Cues;

/// <summary>How fast the music is, for times in bars and beats; both count from 1.</summary>
/// <param name="Bpm">Beats a minute.</param>
/// <param name="BeatsPerBar">Beats in a bar.</param>
/// <param name="Start">When bar 1 begins, s.</param>
internal sealed record CueTempo(double Bpm, int BeatsPerBar, double Start)
{
    /// <summary>s.</summary>
    public double BeatSeconds => 60 / Bpm;

    /// <summary>Of a file's <c>tempo</c>; null where there is none that can be used.</summary>
    public static CueTempo? Of(SourceNode root) =>
        root.Get("tempo") is { Kind: SourceKind.Object } written && written.DoubleOr("bpm", 0) is > 0 and var bpm
            ? new CueTempo(bpm, Math.Max(1, written.IntegerOr("beatsPerBar", 4)), written.DoubleOr("start", 0)) : null;

    /// <summary>When a beat begins, s; false where the bar has no such beat.</summary>
    /// <param name="bar">From 1.</param>
    /// <param name="beat">From 1, with fractions; empty for the first.</param>
    /// <param name="seconds">s.</param>
    public bool TryFind(ReadOnlySpan<char> bar, ReadOnlySpan<char> beat, out double seconds)
    {
        var b = beat.Length == 0 ? 1 : double.Parse(beat, CultureInfo.InvariantCulture);
        var n = int.Parse(bar, CultureInfo.InvariantCulture);
        seconds = Start + ((((n - 1) * BeatsPerBar) + b - 1) * BeatSeconds);
        return n >= 1 && b >= 1 && b < BeatsPerBar + 1;
    }
}
