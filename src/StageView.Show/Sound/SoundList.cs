using StageView.Show.Programs;

namespace StageView.Show.Sound;

/// <summary>Sound inputs as the system names them, for <see cref="SoundSource.Parse"/>.</summary>
public static class SoundList
{
    private static readonly TimeSpan s_patience = TimeSpan.FromSeconds(5);

    /// <summary>A line each, or lines that say why there are none.</summary>
    public static IReadOnlyList<string> Lines()
    {
        List<string> lines = [];
        foreach (var system in new[] { "alsa", "pulse" })
        {
            lines.AddRange(Read(ProgramWords.Of("ffmpeg", ["-hide_banner", "-sources", system], s_patience) ?? "", system));
        }

        return lines.Count > 0 ? lines : ["ffmpeg names no sound input of this machine; others can be written all the same:", "  " + SoundSource.Forms];
    }

    /// <summary>Out of ffmpeg's list of one system: <c>  * NAME [what it is]</c>, the star where it is the usual one.</summary>
    internal static IEnumerable<string> Read(string list, string system) => list.Split('\n')
        .Where(l => l.StartsWith("  ", StringComparison.Ordinal) || l.StartsWith("* ", StringComparison.Ordinal))
        .Select(l => l.TrimStart('*', ' ').TrimEnd())
        .Where(l => l.Length > 0 && !l.StartsWith("null ", StringComparison.Ordinal))
        .Select(l => l.IndexOf(" [", StringComparison.Ordinal) is > 0 and var at ? $"{system}:{l[..at]}   {l[(at + 1)..]}" : $"{system}:{l}");
}
