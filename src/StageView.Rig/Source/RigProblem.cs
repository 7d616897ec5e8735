namespace StageView.Rig.Source;

public enum ProblemSeverity
{
    /// <summary>The rig can be used; the user should know.</summary>
    Warning,

    /// <summary>The rig can't be used as written.</summary>
    Error,
}

/// <summary>Something wrong in a file, said so that it can be mended.</summary>
/// <param name="Place">Where it is written.</param>
/// <param name="Text">What is wrong, why, and what to do.</param>
/// <param name="Severity">Whether the rig can still be used.</param>
public sealed record RigProblem(SourcePlace Place, string Text, ProblemSeverity Severity)
{
    /// <summary>The file as the user named it.</summary>
    public string File => Place.File;

    /// <summary>From 1; 0 when it concerns the whole file.</summary>
    public int Line => Place.Line;

    /// <summary>JSON path such as <c>$.hangs[3].patch</c>, or the entry of an archive; may be empty.</summary>
    public string Path => Place.Path.ToString();

    /// <summary>One line: <c>foundry.rig.jsonc:42: $.hangs[3].patch: error: …</c>.</summary>
    public override string ToString()
    {
        var path = Path is { Length: > 0 } p ? $" {p}:" : "";
        return $"{Place.FileAndLine}:{path} {(Severity == ProblemSeverity.Error ? "error" : "warning")}: {Text}";
    }
}
