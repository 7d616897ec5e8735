using StageView.Stage.Changes;

namespace StageView.Show.Takeover;

/// <summary>What would be seen if one desk took over from another.</summary>
/// <param name="Main">The desk that runs the show.</param>
/// <param name="Backup">The one that would take over.</param>
/// <param name="Why">How the two were told apart, in words.</param>
/// <param name="From">When both are heard, s of the capture.</param>
/// <param name="To">Until when.</param>
/// <param name="Looked">How many times were looked at.</param>
/// <param name="Partings">Where the looks of the two differ.</param>
/// <param name="Worst">When a takeover would be seen most; null where it would not be seen at any time.</param>
/// <param name="SeenSeconds">How long altogether a takeover would be seen, s.</param>
/// <param name="NotSent">Patched universes that the backup never sends and the main does.</param>
/// <param name="Consoles">What the rig file says of consoles, held against the patch.</param>
/// <param name="Problems">What is wrong with the capture.</param>
public sealed record TakeoverAnswer(
    Desk Main, Desk Backup, string Why, double From, double To, int Looked, IReadOnlyList<Parting> Partings, WorstMoment? Worst, double SeenSeconds,
    IReadOnlyList<int> NotSent, IReadOnlyList<ConsoleLoad> Consoles, IReadOnlyList<string> Problems)
{
    /// <summary>Whether the takeover would be seen, or a console can't hold the rig.</summary>
    public bool IsNo => Partings.Count > 0 || NotSent.Count > 0 || Consoles.Any(c => c.Sheds);
}

/// <summary>The moment at which a takeover would be seen most.</summary>
/// <param name="At">s of the capture.</param>
/// <param name="Timecode">Its label; null where there is none.</param>
/// <param name="Fixtures">Fixtures that are lit in one of the two looks and do something else in the other.</param>
/// <param name="Differences">What they do, the first of each.</param>
public sealed record WorstMoment(double At, string? Timecode, IReadOnlyList<string> Fixtures, IReadOnlyList<Parting> Differences);

/// <summary>What a console would have to leave out.</summary>
/// <param name="Name">As the rig file names it.</param>
/// <param name="Role">main, backup, or empty for one that isn't in the capture.</param>
/// <param name="Universes">Universes patched.</param>
/// <param name="HoldsUniverses">Universes it can send; null when not said.</param>
/// <param name="Attributes">Attributes patched.</param>
/// <param name="HoldsAttributes">Attributes it can run; null when not said.</param>
/// <param name="ShedUniverses">Universes to leave out: those whose fixtures were lit for the shortest time.</param>
/// <param name="ShedFixtures">Fixtures that go with them, and those lit for the shortest time until the attributes fit.</param>
/// <param name="LitSeconds">How long the fixtures left out were lit, summed over them, s.</param>
public sealed record ConsoleLoad(
    string Name, string Role, int Universes, int? HoldsUniverses, int Attributes, int? HoldsAttributes, IReadOnlyList<int> ShedUniverses,
    IReadOnlyList<string> ShedFixtures, double LitSeconds)
{
    /// <summary>Whether it has to leave something out.</summary>
    public bool Sheds => ShedUniverses.Count + ShedFixtures.Count > 0;
}
