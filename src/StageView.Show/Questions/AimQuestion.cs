using System.Numerics;
using StageView.Rig.Pieces;
using StageView.Stage.Levels;

namespace StageView.Show.Questions;

/// <summary>What an aim asks for.</summary>
/// <param name="Fixtures">The heads, in the order they take their points.</param>
/// <param name="At">The points to light, m; of several the fixtures take one in turn. One at least.</param>
/// <param name="To">The end of a line from the first point, over which the fixtures are spread, m; or null.</param>
/// <param name="Via">Beginnings of mirror names, first met first; empty for straight.</param>
public sealed record AimAsked(IReadOnlyList<Fixture> Fixtures, IReadOnlyList<Vector3> At, Vector3? To, IReadOnlyList<string> Via);

/// <summary>The aim of one or more fixtures.</summary>
/// <param name="Results">One for each fixture asked, in that order.</param>
public sealed record AimAnswer(IReadOnlyList<AimResult> Results)
{
    /// <summary>Whether one of the fixtures can light its point.</summary>
    public bool Any => Results.Any(r => r.Solutions.Count > 0);

    /// <summary>Whether each can.</summary>
    public bool All => Results.All(r => r.Solutions.Count > 0);
}

/// <summary>Solves pan and tilt of several fixtures, one after the other: a mirror that is turned for one is not turned again for the next.</summary>
public static class AimQuestion
{
    /// <param name="rig">The rig.</param>
    /// <param name="levels">How everything stands before; the solutions are set in it.</param>
    /// <param name="asked">What is wanted.</param>
    public static AimAnswer Answer(RigScene rig, LevelsEncoder levels, AimAsked asked)
    {
        var solver = new AimSolver(rig, levels);
        return new AimAnswer([.. asked.Fixtures.Select((f, i) => solver.Solve(f, Target(asked, i), asked.Via))]);
    }

    /// <summary>Even steps from the first point to the end of the line, a lone fixture in its middle; without a line the points in turn.</summary>
    private static Vector3 Target(AimAsked asked, int i) => asked.To is { } end
        ? Vector3.Lerp(asked.At[0], end, asked.Fixtures.Count < 2 ? 0.5f : (float)i / (asked.Fixtures.Count - 1))
        : asked.At[i % asked.At.Count];
}
