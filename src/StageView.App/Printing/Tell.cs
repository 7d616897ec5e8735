namespace StageView.App.Printing;

/// <summary>What is said beside an answer goes to standard error.</summary>
internal static class Tell
{
    public static void Note(string text) => Console.Error.WriteLine("stageview: " + text);
}
