using System.Globalization;

namespace StageView.Wire.Clock;

/// <summary>Something that happened to timecode.</summary>
/// <param name="Kind">What.</param>
/// <param name="At">When, in show time.</param>
/// <param name="From">The label before, or where it would have been; null at the start.</param>
/// <param name="To">The label found; null when it stopped.</param>
/// <param name="Missing">Dropout: how long nothing came.</param>
public sealed record TimecodeEvent(TimecodeEventKind Kind, TimeSpan At, Timecode? From, Timecode? To, TimeSpan Missing = default)
{
    /// <summary>Turned: whether it counts down from here.</summary>
    public bool IsBackwards => From is { } from && To is { } to && from.FramesTo(to) < 0;

    public override string ToString() => Kind switch
    {
        TimecodeEventKind.Started => Text($"{At.TotalSeconds:F3} s: starts at {To}"),
        TimecodeEventKind.Jumped => Text($"{At.TotalSeconds:F3} s: jumps from {From} to {To}"),
        TimecodeEventKind.Dropout => Text($"{At.TotalSeconds:F3} s: back at {To} after {Missing.TotalMilliseconds:F0} ms without timecode"),
        TimecodeEventKind.Turned => Text($"{At.TotalSeconds:F3} s: runs {(IsBackwards ? "backwards" : "forwards again")} from {From}"),
        _ => Text($"{At.TotalSeconds:F3} s: stops after {From}"),
    };

    private static string Text(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);
}
