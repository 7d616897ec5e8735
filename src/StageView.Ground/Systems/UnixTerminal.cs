namespace StageView.Ground.Systems;

/// <summary>A terminal of Linux or macOS: UTF-8 unless the user's locale says otherwise, sequences unless it says that it is dumb.</summary>
internal sealed class UnixTerminal : ITerminal
{
    public void Begin()
    {
    }

    public bool TakesSequences => !Console.IsOutputRedirected && Environment.GetEnvironmentVariable("TERM") is { Length: > 0 } and not "dumb";
}
