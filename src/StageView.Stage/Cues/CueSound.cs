using StageView.Rig.Assets;
using StageView.Rig.Source;

namespace StageView.Stage.Cues;

/// <summary>The music that a show is written to.</summary>
/// <param name="File">Full path.</param>
/// <param name="Start">Show time at which it begins, s.</param>
public sealed record CueSound(string File, double Start)
{
    /// <summary>Endings of files that browsers and ffmpeg play.</summary>
    public static IReadOnlyList<string> Endings { get; } = [".wav", ".flac", ".mp3", ".m4a", ".aac", ".ogg", ".oga", ".opus", ".webm"];

    /// <summary>What a cue file says of its sound; null where it says nothing, or with an error where that can't be used.</summary>
    internal static CueSound? Read(SourceNode root, CueClock clock, ProblemList problems)
    {
        if (root.Get("sound") is not { } sound || sound.Get("file") is not { } file)
        {
            return null;
        }

        if (!Endings.Contains(Path.GetExtension(file.Text), StringComparer.OrdinalIgnoreCase))
        {
            problems.Error(file, $"\"{file.Text}\" is no sound file: it ends in none of {string.Join(", ", Endings)}");
            return null;
        }

        if (!SafePath.TryInside(Path.GetDirectoryName(Path.GetFullPath(root.File))!, file.Text, out var full))
        {
            problems.Error(file, $"\"{file.Text}\" leads out of the cue file's folder: put the sound beside it");
            return null;
        }

        if (!System.IO.File.Exists(full))
        {
            problems.Warn(file, $"there is no file \"{file.Text}\" in the cue file's folder; the show goes on without sound");
            return null;
        }

        var start = 0.0;
        return sound.Get("start") is { } at && !clock.TryRead(at, problems, out start) ? null : new CueSound(full, start);
    }
}
