using System.Text.Json;
using StageView.Rig;
using StageView.Stage;

namespace StageView.App.Compose;

/// <summary>Levels from a look file or the defaults, with some fixtures put to full on top.</summary>
internal sealed class FullShow : LevelSource
{
    /// <param name="rig">The rig.</param>
    /// <param name="look">A look file, or null for the defaults.</param>
    /// <param name="full">Selections whose dimmers go to full, shutters open.</param>
    /// <exception cref="StopException">The look or a selection is wrong: every problem is in the message, a line each.</exception>
    public FullShow(RigScene rig, string? look, IReadOnlyList<string> full)
        : base(rig)
    {
        Levels = look is null ? new LevelsEncoder(rig) : LookShow.Read(rig, look);
        var problems = new List<LookProblem>();
        foreach (var selection in full)
        {
            using var entry = JsonDocument.Parse(JsonSerializer.Serialize(new { fixtures = selection, dimmer = 1 }));
            new LookSetter(Levels).Apply(entry.RootElement, "--full", problems);
        }

        if (problems.Count > 0)
        {
            throw StopException.Wrong(string.Join(Environment.NewLine, problems.Select(p => $"--full: {p.Message}")));
        }

        Levels.SendTo(Stage, TimeSpan.Zero);
    }

    public LevelsEncoder Levels { get; }

    public override TimeSpan End() => TimeSpan.Zero;
}
