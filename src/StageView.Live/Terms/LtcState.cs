namespace StageView.Live.Terms;

/// <summary>A sound input that is listened to for timecode.</summary>
/// <param name="State"><c>heard</c>, <c>silent</c> (no sound, or none that is timecode) or <c>lost</c> (no input).</param>
/// <param name="Short">Level or trouble in few words: <c>LTC -12 dB</c>.</param>
/// <param name="Text">The input's name, how it stands, its peak in dBFS, and how far from ArtTimeCode it runs.</param>
internal sealed record LtcState(string State, string Short, string Text);
