namespace StageView.Live.Network;

/// <summary>Minutes that were taken out of the running ones.</summary>
/// <param name="File">Full path.</param>
/// <param name="Seconds">Their length, s.</param>
/// <param name="Bytes">Their size, at the most.</param>
internal sealed record FrozenMinutes(string Name, string File, double Seconds, long Bytes);
