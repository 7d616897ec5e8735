namespace StageView.Show.LineCheck;

/// <summary>What somebody said of a fixture.</summary>
public enum LineMark
{
    /// <summary>Nothing yet.</summary>
    Open,

    /// <summary>It lit.</summary>
    Answered,

    /// <summary>It did not, or another did.</summary>
    NoAnswer,
}

/// <summary>Which fixture is lit now, and what was said of each. May be used from several threads.</summary>
/// <param name="plan">The fixtures.</param>
public sealed class LineSheet(LinePlan plan)
{
    private readonly Lock _gate = new();
    private readonly LineMark[] _marks = new LineMark[plan.Steps.Count];
    private int _at;
    private bool _ended;

    /// <summary>The step that is lit, from 0; as many as there are when all are through.</summary>
    public int At
    {
        get
        {
            lock (_gate)
            {
                return _at;
            }
        }
    }

    /// <summary>Whether somebody ended it.</summary>
    public bool Ended
    {
        get
        {
            lock (_gate)
            {
                return _ended;
            }
        }
    }

    /// <summary>A copy, in the order of the steps.</summary>
    public IReadOnlyList<LineMark> Marks
    {
        get
        {
            lock (_gate)
            {
                return [.. _marks];
            }
        }
    }

    /// <summary>Says something of a fixture; of the one that is lit, the next one lights.</summary>
    /// <returns>False when there is no such step.</returns>
    public bool Mark(int step, LineMark mark)
    {
        lock (_gate)
        {
            if (step < 0 || step >= _marks.Length)
            {
                return false;
            }

            _marks[step] = mark;
            _at = step == _at && mark != LineMark.Open ? _at + 1 : _at;
            return true;
        }
    }

    /// <summary>Lights another; as many as there are for none.</summary>
    /// <returns>False when there is no such step.</returns>
    public bool Go(int step)
    {
        lock (_gate)
        {
            if (step < 0 || step > _marks.Length)
            {
                return false;
            }

            _at = step;
            return true;
        }
    }

    public void End()
    {
        lock (_gate)
        {
            _ended = true;
        }
    }

    /// <summary>What came of it.</summary>
    public LineAnswer Answer()
    {
        var marks = Marks;
        IReadOnlyList<LineStep> Of(LineMark mark) => [.. plan.Steps.Where((_, i) => marks[i] == mark)];
        return new LineAnswer(plan.Steps.Count, Of(LineMark.Answered).Count, Of(LineMark.NoAnswer), Of(LineMark.Open), plan.NotLit);
    }
}

/// <summary>What came of a line check.</summary>
/// <param name="Asked">Fixtures in the plan.</param>
/// <param name="Answered">How many lit.</param>
/// <param name="NoAnswer">Those that did not.</param>
/// <param name="Open">Those of which nothing was said.</param>
/// <param name="NotLit">Fixtures that are not lit by a line check, each with why.</param>
public sealed record LineAnswer(int Asked, int Answered, IReadOnlyList<LineStep> NoAnswer, IReadOnlyList<LineStep> Open, IReadOnlyList<string> NotLit);
