using StageView.Rig.Assets;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Rig.Source;

namespace StageView.Show.Rigs;

/// <summary>Opens rig files the way every verb does: all problems shown, errors end the verb.</summary>
public static class RigFiles
{
    /// <summary>Profiles that come with the command.</summary>
    public static string OwnProfiles => Path.Combine(AppContext.BaseDirectory, "assets", "fixtures");

    public static RigLoadOptions Options => new()
    {
        ProfileFolders = Directory.Exists(OwnProfiles) ? [OwnProfiles] : [],
        DecodeImage = GoboPictures.TryDecode,
    };

    /// <summary>The checked rig.</summary>
    /// <param name="path">The rig file.</param>
    /// <param name="venue">A venue file laid over it, or null.</param>
    /// <param name="preset">A preset of the rig to start from, or null.</param>
    /// <param name="tell">Told each warning, a text each.</param>
    /// <exception cref="StopException">The file can't be used; every problem is in the message, a line each.</exception>
    public static RigScene Open(string path, string? venue = null, string? preset = null, Action<string>? tell = null)
    {
        if (!File.Exists(path))
        {
            throw StopException.Wrong($"there is no rig file at {path}");
        }

        var ok = RigLoader.TryLoad(path, Options with { Venue = venue }, out var rig, out var problems);
        if (!ok || rig is null)
        {
            throw StopException.Wrong(string.Join(Environment.NewLine, problems
                .Where(p => p.Severity == ProblemSeverity.Error)
                .Select(p => p.ToString())
                .DefaultIfEmpty($"{path} can't be used")));
        }

        foreach (var p in problems)
        {
            tell?.Invoke(p.ToString());
        }

        if (preset is null)
        {
            return rig;
        }

        return rig.TryWithPreset(preset, out var set, out var why) ? set : throw StopException.Wrong($"--preset {preset}: {why}");
    }
}
