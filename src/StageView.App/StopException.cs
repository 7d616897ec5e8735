namespace StageView.App;

/// <summary>Ends a verb with one clear line and an exit code; thrown only by verbs and caught only at the edge.</summary>
internal sealed class StopException(int exitCode, string message) : Exception(message)
{
    public int ExitCode { get; } = exitCode;

    /// <summary>The question was wrong: what, where, why, and what to do.</summary>
    public static StopException Wrong(string message) => new(Exit.WrongQuestion, message);

    /// <summary>The machine can't do it: name what to install or free.</summary>
    public static StopException Machine(string message) => new(Exit.MachineCannot, message);
}
