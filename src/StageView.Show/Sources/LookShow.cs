using System.Diagnostics.CodeAnalysis;
using StageView.Ground.Files;
using StageView.Rig.Pieces;
using StageView.Rig.Source;
using StageView.Stage.Levels;
using StageView.Stage.Looks;

namespace StageView.Show.Sources;

/// <summary>Levels from a look file, held from the start.</summary>
public sealed class LookShow : ShowSource
{
    private const int MaxBytes = 16 << 20;

    /// <exception cref="StopException">The look has mistakes; all that is wrong is in the message, a line each.</exception>
    public LookShow(RigScene rig, string path)
        : this(rig, Read(rig, path, out var cannot)) =>
        Problem = cannot;

    private LookShow(RigScene rig, LevelsEncoder levels)
        : base(rig) =>
        levels.SendTo(Stage, TimeSpan.Zero);

    /// <summary>What single fixtures can't do of the look, a line each, or null.</summary>
    public override string? Problem { get; }

    /// <summary>The levels that a look file asks for.</summary>
    /// <param name="cannot">What single fixtures can't do, a line each, or null; the rest of the look stands.</param>
    /// <exception cref="StopException">The look has mistakes; all that is wrong is in the message, a line each.</exception>
    /// <param name="lenient">Takes what can be used, whatever the mistakes: for a rig of another venue, in which not everything hangs.</param>
    public static LevelsEncoder Read(RigScene rig, string path, out string? cannot, bool lenient = false)
    {
        var problems = new List<RigProblem>();
        var levels = LookFile.Read(rig, Text(path), problems, path);
        cannot = problems.Count == 0 ? null : string.Join(Environment.NewLine, problems);
        return !lenient && problems.Any(p => p.Severity == ProblemSeverity.Error) ? throw StopException.Wrong(cannot!) : levels;
    }

    /// <summary>Opens a look as far as it can be used.</summary>
    /// <param name="why">What of it can't, in one line: the first problem is named, the others are counted. Empty when all can.</param>
    /// <returns>False when the file can't be read, or no line of it can be used.</returns>
    public static bool TryOpen(RigScene rig, string path, [NotNullWhen(true)] out LookShow? show, out string why)
    {
        show = null;
        if (!BoundedFile.TryRead(path, MaxBytes, out var bytes, out why))
        {
            return false;
        }

        var problems = new List<RigProblem>();
        var levels = LookFile.Read(rig, System.Text.Encoding.UTF8.GetString(bytes), problems, out var sets, Path.GetFileName(path));
        why = problems.Count == 0 ? "" : $"{problems[0]}{(problems.Count > 1 ? $" (and {problems.Count - 1} more)" : "")}";
        if (sets == 0 && problems.Count > 0)
        {
            why = "no line of it can be used: " + why;
            return false;
        }

        show = new LookShow(rig, levels);
        return true;
    }

    public override TimeSpan End() => TimeSpan.Zero;

    private static string Text(string path)
    {
        if (!File.Exists(path))
        {
            throw StopException.Wrong($"there is no look file at {path}");
        }

        return BoundedFile.TryRead(path, MaxBytes, out var bytes, out var why)
            ? System.Text.Encoding.UTF8.GetString(bytes) : throw StopException.Wrong($"{path}: {why}");
    }
}
