namespace StageView.Stage.Looks;

/// <param name="Path">Where in the file, a JSON path such as <c>$.set[2].zoom</c>.</param>
/// <param name="Message">What is wrong and what would be right.</param>
public readonly record struct LookProblem(string Path, string Message)
{
    public override string ToString() => Path + ": " + Message;
}
