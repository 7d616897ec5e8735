using System.Xml.Linq;
using StageView.Rig.Archives;
using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Gdtf;

/// <summary>Reads the DMX modes of a description. A mode that can't be used is left out with its reason; the others stand.</summary>
internal sealed class GdtfModes
{
    private readonly List<RigProblem> _wrong = [];

    public List<FixtureMode> Modes { get; } = [];

    public List<RefusedMode> Refused { get; } = [];

    /// <param name="mode">Its element.</param>
    /// <param name="problems">What was wrong with it alone.</param>
    /// <param name="made">The mode as far as it could be read.</param>
    /// <param name="notUnderstood">Told what is left out.</param>
    public void Add(XElement mode, ProblemList problems, FixtureMode? made, List<string> notUnderstood)
    {
        if (made is not null && problems.Errors == 0)
        {
            Modes.Add(made);
            return;
        }

        _wrong.AddRange(problems.ToList());
        var why = problems.ToList().First(p => p.Severity == ProblemSeverity.Error);
        Refused.Add(new RefusedMode(mode.Attr("Name"), why.Text));
        notUnderstood.Add($"mode \"{mode.Attr("Name")}\" (line {why.Line}) is left out: {why.Text}");
    }

    /// <summary>Tells why there is no mode to use, where there is none.</summary>
    public void Tell(SourcePlace type, ProblemList problems)
    {
        if (Modes.Count > 0)
        {
            return;
        }

        foreach (var p in _wrong)
        {
            problems.Add(p);
        }

        if (_wrong.Count == 0)
        {
            problems.Error(type, "has no DMX mode");
        }
    }
}
