using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Time;

namespace StageView.Show.Sources;

/// <summary>The timecode of a capture: ArtTimeCode in it, else linear timecode recorded beside it from the same instant.</summary>
public static class CaptureTrack
{
    /// <summary>The sound file beside a capture: <c>show.ltc.wav</c> for <c>show.pcapng</c>.</summary>
    public static string SoundFor(string capture) => CaptureNames.Beside(capture, ".ltc.wav");

    /// <param name="capture">The capture.</param>
    /// <param name="index">Its index, or null to read the capture through.</param>
    /// <exception cref="CaptureException">No capture, or a sound file beside it that can't be read.</exception>
    public static TimecodeTrack Of(string capture, CaptureIndex? index = null)
    {
        var track = index?.Timecode ?? TimecodeFile.FromCapture(capture);
        var sound = SoundFor(capture);
        return track.Labels == 0 && File.Exists(sound) ? TimecodeFile.FromSound(sound) : track;
    }

    /// <summary>The timecode of a file alone, with its events: of a capture, or of a sound file, which ends in <c>.wav</c>.</summary>
    /// <param name="file">The file.</param>
    /// <param name="channel">The channel of a sound file, from 1.</param>
    /// <param name="freewheel">How long timecode runs on by itself when none comes.</param>
    /// <exception cref="CaptureException">Neither.</exception>
    /// <param name="problem">Told when a capture was cut or damaged, or its stamps were wrong.</param>
    public static TimecodeTrack OfFile(string file, int channel, TimeSpan freewheel, Action<string>? problem = null) =>
        file.EndsWith(".wav", StringComparison.OrdinalIgnoreCase)
        ? TimecodeFile.FromSound(file, channel - 1, freewheel)
        : TimecodeFile.FromCapture(file, freewheel, problem);
}
