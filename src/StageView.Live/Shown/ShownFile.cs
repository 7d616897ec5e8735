using StageView.Stage.Cues;

namespace StageView.Live.Shown;

/// <summary>A capture to be shown.</summary>
/// <param name="Name">What the page calls it.</param>
/// <param name="Path">The file; a cue file of the same name beside it names its times.</param>
/// <param name="Sound">The music to it, or null.</param>
internal sealed record ShownFile(string Name, string Path, CueSound? Sound);
