namespace StageView.Show;

/// <summary>Why something that was asked for ends without an answer.</summary>
public enum StopKind
{
    /// <summary>The question was wrong: usage, a file that can't be used.</summary>
    WrongQuestion,

    /// <summary>The answer is no.</summary>
    No,

    /// <summary>The machine can't: no OpenGL, a port in use, a program that is missing.</summary>
    MachineCannot,
}

/// <summary>Ends what was asked for with one clear text: what, where, why, and what to do.</summary>
public sealed class StopException(StopKind kind, string message) : Exception(message)
{
    public StopKind Kind { get; } = kind;

    /// <summary>The question was wrong: what, where, why, and what to do.</summary>
    public static StopException Wrong(string message) => new(StopKind.WrongQuestion, message);

    /// <summary>The machine can't do it: name what to install or free.</summary>
    public static StopException Machine(string message) => new(StopKind.MachineCannot, message);
}
