namespace StageView.Live.Terms;

/// <summary>What is known of a moment beside the moment itself.</summary>
/// <param name="Fingerprint">Changes whenever what is seen does.</param>
/// <param name="Essence">The same without drifting haze.</param>
/// <param name="Arrival"><see cref="TimeProvider.GetTimestamp"/> of the newest packet in it, or 0.</param>
/// <param name="ShowSeconds">Show time, s.</param>
/// <param name="Marker">Level of the marker, or -1.</param>
/// <param name="TablesVersion">Which tables it refers to.</param>
internal readonly record struct MomentHead(ulong Fingerprint, ulong Essence, long Arrival, double ShowSeconds, int Marker, int TablesVersion);
