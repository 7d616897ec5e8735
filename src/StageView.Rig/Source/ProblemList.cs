using System.Runtime.CompilerServices;

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

    /// <summary>Whether further ones are only counted: nobody reads their text.</summary>
    public bool IsFull => _problems.Count >= Kept;

    /// <summary>Whether something was too much to be read any further.</summary>
    public bool Stopped { get; private set; }

    public void Stop() => Stopped = true;

    /// <summary>What has been read of the files that the problems are about.</summary>
    public SourceBudget Budget { get; } = new();

    public void Error(SourceNode at, string text)
    {
        if (IsFull)
        {
            Errors++;
            _dropped++;
            return;
        }

        Error(at.Place, text);
    }

    /// <summary>The same with a text that isn't even made where nobody will read it.</summary>
    public void Error(SourceNode at, [InterpolatedStringHandlerArgument("")] ProblemText text) => Error(at, text.ToString());

    /// <summary>Something wrong with a key: it stands where the key is.</summary>
    public void Error(SourceMember at, [InterpolatedStringHandlerArgument("")] ProblemText text)
    {
        if (IsFull)
        {
            Error(at.Value, "");
        }
        else
        {
            Error(at.Value.Place with { Line = at.Line }, text.ToString());
        }
    }

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
