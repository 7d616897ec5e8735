using StageView.Wire.Clock;

namespace StageView.Show.Sources;

/// <summary>Finds the times of a capture that have a name.</summary>
/// <param name="capture">The capture.</param>
/// <param name="track">Gives its timecode, when that is asked for.</param>
public sealed class CaptureTimes(string capture, Func<TimecodeTrack> track)
{
    /// <summary>The time that a text names, as <see cref="ShowTime"/> reads it.</summary>
    /// <exception cref="StopException">There is no such time.</exception>
    public TimeSpan Find(string text) => ShowTime.Parse(text) switch
    {
        ShowTime.Clock clock => clock.At,
        ShowTime.Cue cue => Cue(cue.Name),
        ShowTime.Timecode timecode => Timecode(timecode.Text),
        _ => throw new InvalidOperationException(),
    };

    /// <summary>Where a cue lies, by the cue file beside the capture.</summary>
    /// <exception cref="StopException">There is no such cue.</exception>
    public TimeSpan Cue(string name) => CueTimes.Find(capture, name).Time;

    /// <summary>
    /// Where a timecode lies. A label names a frame, which is a span: its middle is taken, when the levels that a console sends with the label have
    /// arrived and the shutter has been open to them.
    /// </summary>
    /// <exception cref="StopException">The capture has no timecode, or not this one.</exception>
    public TimeSpan Timecode(string text)
    {
        var found = track();
        return found.TryFind(text, out var at, out var lasts)
            ? at + (lasts / 2)
            : throw StopException.Wrong(found.Labels == 0
                ? $"tc:{text}: {capture} has no ArtTimeCode, and there is no {CaptureTrack.SoundFor(capture)} with linear timecode beside it"
                : $"tc:{text} isn't in {capture}; it has {found.Covered()}");
    }
}
