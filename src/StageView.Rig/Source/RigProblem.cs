namespace StageView.Rig.Source;

public enum ProblemSeverity
{
    /// <summary>The rig can be used; the user should know.</summary>
    Warning,

    /// <summary>The rig can't be used as written.</summary>
    Error,
}

/// <summary>Something wrong in a file, said so that it can be mended.</summary>
/// <param name="File">The file as the user named it.</param>
/// <param name="Line">From 1; 0 when it concerns the whole file.</param>
/// <param name="Path">JSON path such as <c>$.hangs[3].patch</c>, or the place within an archive; may be empty.</param>
/// <param name="Text">What is wrong, why, and what to do.</param>
/// <param name="Severity">Whether the rig can still be used.</param>
public sealed record RigProblem(string File, int Line, string Path, string Text, ProblemSeverity Severity)
{
    /// <summary>One line: <c>foundry.rig.jsonc:42: $.hangs[3].patch: error: …</c>.</summary>
    public override string ToString()
    {
        var place = Line > 0 ? string.Create(System.Globalization.CultureInfo.InvariantCulture, $"{File}:{Line}") : File;
        var path = Path.Length > 0 ? $" {Path}:" : "";
        return $"{place}:{path} {(Severity == ProblemSeverity.Error ? "error" : "warning")}: {Text}";
    }
}
