using StageView.Ground.Files;
using StageView.Ground.Systems;

namespace StageView.App.Starting;

/// <summary>
/// What is done where somebody just opens the program, or drops a rig file on it: live, with the page opened. The rig is the one that was shown last, else
/// the demo show.
/// </summary>
internal static class FirstStart
{
    private const int MostBytes = 10_000;

    /// <summary>The demo show's rig, beside the program.</summary>
    public static string Demo => Path.Combine(AppContext.BaseDirectory, "scenes", "foundry", "foundry.rig.jsonc");

    /// <summary>Words of a command out of those given: other words are taken as they are.</summary>
    /// <param name="given">What the program was started with.</param>
    /// <param name="byHand">Whether a person looks at what it prints: without words, others are told how it is asked.</param>
    /// <param name="last">The rig that was shown last, or null.</param>
    public static string[] Words(string[] given, bool byHand, string? last) => given switch
    {
        [] when byHand => ["live", last ?? Demo, "--open"],
        [var file] when IsRig(file) && File.Exists(file) => ["live", file, "--open"],
        _ => given,
    };

    /// <summary>The rig that was shown last, where it is still there.</summary>
    public static string? Last() => OwnFolders.Kept("last-rig") is { } kept && BoundedFile.TryRead(kept, MostBytes, out var bytes, out _)
        && System.Text.Encoding.UTF8.GetString(bytes) is var rig && IsRig(rig) && File.Exists(rig) ? rig : null;

    /// <summary>Remembers it; where nothing can be kept, the next start shows the demo again.</summary>
    public static void Remember(string rig)
    {
        try
        {
            if (OwnFolders.Kept("last-rig") is { } kept)
            {
                Directory.CreateDirectory(Path.GetDirectoryName(kept)!);
                WholeFile.WriteText(kept, Path.GetFullPath(rig));
            }
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            // As said above.
        }
    }

    private static bool IsRig(string file) =>
        file.EndsWith(".jsonc", StringComparison.OrdinalIgnoreCase) || file.EndsWith(".json", StringComparison.OrdinalIgnoreCase);
}
