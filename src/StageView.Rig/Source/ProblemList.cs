namespace StageView.Rig.Source;

/// <summary>Collects problems; keeps the first 500 and counts the rest.</summary>
internal sealed class ProblemList
{
    private const int Kept = 500;
    private readonly List<RigProblem> _problems = [];
    private int _dropped;

    public int Errors { get; private set; }

    public bool Any => _problems.Count > 0;

    public void Error(SourceNode at, string text) => Error(at.File, at.Line, at.Path, text);

    public void Warn(SourceNode at, string text) => Add(new RigProblem(at.File, at.Line, at.Path, text, ProblemSeverity.Warning));

    public void Error(string file, int line, string path, string text) =>
        Add(new RigProblem(file, line, path, text, ProblemSeverity.Error));

    public void Warn(string file, int line, string path, string text) =>
        Add(new RigProblem(file, line, path, text, ProblemSeverity.Warning));

    public void Add(RigProblem problem)
    {
        if (problem.Severity == ProblemSeverity.Error)
        {
            Errors++;
        }

        if (_problems.Count >= Kept)
        {
            _dropped++;
            return;
        }

        _problems.Add(problem);
    }

    public IReadOnlyList<RigProblem> ToList()
    {
        if (_dropped > 0)
        {
            return [.. _problems, new RigProblem(_problems[^1].File, 0, "", $"{_dropped} further problems not listed", _problems[^1].Severity)];
        }

        return [.. _problems];
    }
}
