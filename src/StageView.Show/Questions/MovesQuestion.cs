using StageView.Show.Sources;
using StageView.Stage.Moves;

namespace StageView.Show.Questions;

/// <summary>What moves may do while lit. What is allowed unless asked is common practice, no source.</summary>
/// <param name="LateSeconds">How long a lit fixture may still be travelling, s.</param>
/// <param name="OffDegrees">How far its beam may be off meanwhile, degrees.</param>
public sealed record MovesAllowed(double LateSeconds, double OffDegrees)
{
    /// <summary>Seconds unless asked: common practice, no source.</summary>
    public const double UsualSeconds = .1;

    /// <summary>Degrees unless asked: common practice, no source.</summary>
    public const double UsualDegrees = 1;

    /// <summary>How far a winch may be off meanwhile, m; common practice, no source.</summary>
    public const double OffMetres = .05;

    internal bool IsBroken(FixtureMove m) => m.LateSeconds > LateSeconds && (m.OffDegrees > OffDegrees || m.OffMetres > OffMetres);
}

/// <summary>The moves of a show.</summary>
/// <param name="Allowed">What they were held against.</param>
/// <param name="All">How many there are.</param>
/// <param name="Late">Those that are lit for longer and further off than allowed.</param>
/// <param name="Dark">Those that nobody sees.</param>
public sealed record MovesAnswer(MovesAllowed Allowed, int All, IReadOnlyList<FixtureMove> Late, IReadOnlyList<FixtureMove> Dark);

/// <summary>Finds moves that come too late.</summary>
public static class MovesQuestion
{
    /// <param name="source">The show; all of it is fed.</param>
    /// <param name="allowed">What they are held against.</param>
    /// <param name="winches">Whether winches count beside pan and tilt.</param>
    public static MovesAnswer Answer(ShowSource source, MovesAllowed allowed, bool winches)
    {
        source.End();
        var all = source.Stage.FindMoves(winches);
        return new MovesAnswer(allowed, all.Count, [.. all.Where(allowed.IsBroken)], [.. all.Where(m => !m.IsLit)]);
    }
}
