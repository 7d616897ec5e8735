using StageView.Wire.Clock;

namespace StageView.Live.Shown;

/// <summary>What all desks of content share.</summary>
/// <param name="Clock">Tells the time.</param>
/// <param name="Began">When the show began, on that clock.</param>
/// <param name="Heard">The timecode that is heard now, or stands; null before the first.</param>
/// <param name="Changed">Called when another picture came.</param>
/// <param name="Inputs">The live inputs; null where none is to be opened.</param>
internal sealed record ContentParts(TimeProvider Clock, long Began, Func<Timecode?> Heard, Action Changed, LiveInputs? Inputs);
