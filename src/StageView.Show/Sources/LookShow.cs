using System.Diagnostics.CodeAnalysis;
using StageView.Rig.Pieces;
using StageView.Stage.Levels;
using StageView.Stage.Looks;

namespace StageView.Show.Sources;

/// <summary>Levels from a look file, held from the start.</summary>
public sealed class LookShow : ShowSource
{
    /// <exception cref="StopException">The look can't be used; every problem is in the message, a line each.</exception>
    public LookShow(RigScene rig, string path)
        : this(rig, Read(rig, path))
    {
    }

    private LookShow(RigScene rig, LevelsEncoder levels)
        : base(rig) =>
        levels.SendTo(Stage, TimeSpan.Zero);

    /// <summary>The levels that a look file asks for.</summary>
    /// <exception cref="StopException">The look can't be used; every problem is in the message, a line each.</exception>
    public static LevelsEncoder Read(RigScene rig, string path)
    {
        if (!File.Exists(path))
        {
            throw StopException.Wrong($"there is no look file at {path}");
        }

        var problems = new List<LookProblem>();
        var levels = LookFile.Read(rig, File.ReadAllText(path), problems);
        return problems.Count == 0
            ? levels
            : throw StopException.Wrong(string.Join(Environment.NewLine, problems.Select(p => $"{path} {p}")));
    }

    /// <summary>Opens a look as far as it can be used.</summary>
    /// <param name="why">What of it can't, in one line: the first problem is named, the others are counted. Empty when all can.</param>
    /// <returns>False when the file can't be read, or no line of it can be used.</returns>
    public static bool TryOpen(RigScene rig, string path, [NotNullWhen(true)] out LookShow? show, out string why)
    {
        show = null;
        try
        {
            var problems = new List<LookProblem>();
            var levels = LookFile.Read(rig, File.ReadAllText(path), problems, out var sets);
            why = problems.Count == 0 ? "" : $"{Path.GetFileName(path)} {problems[0]}{(problems.Count > 1 ? $" (and {problems.Count - 1} more)" : "")}";
            if (sets == 0 && problems.Count > 0)
            {
                why = "no line of it can be used: " + why;
                return false;
            }

            show = new LookShow(rig, levels);
            return true;
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            why = e.Message;
            return false;
        }
    }

    public override TimeSpan End() => TimeSpan.Zero;
}
