using StageView.Rig.Pieces;
using StageView.Stage.Levels;
using StageView.Stage.Looks;

namespace StageView.Show.Sources;

/// <summary>Levels from a look file, held from the start.</summary>
internal sealed class LookShow : ShowSource
{
    /// <exception cref="StopException">The look can't be used; every problem is in the message, a line each.</exception>
    public LookShow(RigScene rig, string path)
        : base(rig) =>
        Read(rig, path).SendTo(Stage, TimeSpan.Zero);

    /// <summary>The levels that a look file asks for.</summary>
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

    public override TimeSpan End() => TimeSpan.Zero;
}
