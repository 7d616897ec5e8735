namespace StageView.Rig.Source;

/// <summary>Collects problems, each once: a row or a part that is repeated has its own but once in the file. Keeps the first 500 and counts the rest.</summary>
internal sealed class ProblemList
{
    private const int Kept = 500;
    private readonly List<RigProblem> _problems = [];
    private readonly HashSet<RigProblem> _told = [];
    private int _dropped;

    public int Errors { get; private set; }

    public bool Any => _problems.Count > 0;

    public void Error(SourceNode at, string text) => Error(at.Place, text);

    public void Warn(SourceNode at, string text) => Warn(at.Place, text);

    public void Error(SourcePlace at, string text) => Add(new RigProblem(at, text, ProblemSeverity.Error));

    public void Warn(SourcePlace at, string text) => Add(new RigProblem(at, text, ProblemSeverity.Warning));

    public void Add(RigProblem problem)
    {
        if (!_told.Add(problem))
        {
            return;
        }

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
            return [.. _problems, new RigProblem(SourcePlace.WholeOf(_problems[^1].File), $"{_dropped} further problems not listed", _problems[^1].Severity)];
        }

        return [.. _problems];
    }
}
