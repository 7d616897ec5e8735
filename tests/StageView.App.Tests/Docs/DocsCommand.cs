namespace StageView.App.Tests.Docs;

/// <summary>A command of a page, as it stands there.</summary>
/// <param name="Line">Line of the page, from 1.</param>
/// <param name="Words">The line, its comment too.</param>
/// <param name="ExitCode">What the comment says that it ends with; 0 where it says nothing.</param>
/// <param name="UntilStopped">The comment says that it runs until Ctrl+C.</param>
internal sealed record DocsCommand(int Line, string Words, int ExitCode, bool UntilStopped)
{
    public bool IsStageView => Words.StartsWith("stageview ", StringComparison.Ordinal) || Words.StartsWith("./dev stageview ", StringComparison.Ordinal);

    public string Verb => Words[(Words.IndexOf("stageview ", StringComparison.Ordinal) + 10)..].Split(' ')[0];
}
