using System.Text.Json;
using StageView.Rig.Pieces;
using StageView.Stage.Levels;
using StageView.Stage.Looks;

namespace StageView.Show.Sources;

/// <summary>Levels from a look file or the defaults, with some fixtures put to full on top.</summary>
public sealed class FullShow : ShowSource
{
    /// <param name="rig">The rig.</param>
    /// <param name="look">A look file, or null for the defaults.</param>
    /// <param name="full">Selections whose dimmers go to full, shutters open; fixtures that mix their colour turn white where they were dark.</param>
    /// <exception cref="StopException">The look or a selection is wrong: every problem is in the message, a line each.</exception>
    public FullShow(RigScene rig, string? look, IReadOnlyList<string> full)
        : base(rig)
    {
        Levels = look is null ? new LevelsEncoder(rig) : LookShow.Read(rig, look);
        var problems = new List<LookProblem>();
        foreach (var selection in full)
        {
            if (!FixtureSelection.TryFind(rig, selection, out var found, out var why))
            {
                problems.Add(new LookProblem("--full", why));
                continue;
            }

            foreach (var fixture in found)
            {
                PutToFull(Levels, fixture, problems);
            }
        }

        if (problems.Count > 0)
        {
            throw StopException.Wrong(string.Join(Environment.NewLine, problems.Select(p => $"--full: {p.Message}")));
        }

        Levels.SendTo(Stage, TimeSpan.Zero);
    }

    /// <summary>Dimmer to full; what mixes its colour out of nothing, or has pixels alone, turns white where it was dark.</summary>
    public static void PutToFull(LevelsEncoder levels, Fixture fixture, List<LookProblem> problems)
    {
        var dims = fixture.Mode.Channels.Any(c => c.Functions.Any(f => f.Attribute == "Dimmer"));
        var mixers = fixture.Mode.Channels.Where(c => c.Functions.Any(f => f.Attribute.StartsWith("ColorAdd", StringComparison.Ordinal))).ToList();
        if (dims || (mixers.Count == 0 && fixture.Mode.PixelBlocks.Count == 0))
        {
            Apply(levels, new { fixtures = fixture.Name, dimmer = 1 }, problems);
        }

        if (fixture.Mode.PixelBlocks.Count > 0 || (mixers.Count > 0 && mixers.TrueForAll(c => levels.RawOf(fixture, c) == 0)))
        {
            Apply(levels, new { fixtures = fixture.Name, colour = "#ffffff" }, problems);
        }
    }

    private static void Apply(LevelsEncoder levels, object entry, List<LookProblem> problems)
    {
        using var json = JsonDocument.Parse(JsonSerializer.Serialize(entry));
        new LookSetter(levels).Apply(json.RootElement, "--full", problems);
    }

    public LevelsEncoder Levels { get; }

    public override TimeSpan End() => TimeSpan.Zero;
}
