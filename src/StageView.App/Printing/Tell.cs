using StageView.Show.Sources;

namespace StageView.App.Printing;

/// <summary>What is said beside an answer goes to standard error.</summary>
internal static class Tell
{
    public static void Note(string text) => Console.Error.WriteLine("stageview: " + text);

    /// <summary>Tells what was wrong with what an answer was made from.</summary>
    /// <returns>Whether anything was, so that the answer is no clean one.</returns>
    public static bool Doubts(ShowSource source)
    {
        var doubts = source.Doubts;
        foreach (var doubt in doubts)
        {
            Note(doubt);
        }

        return doubts.Count > 0;
    }
}
