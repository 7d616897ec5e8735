namespace StageView.Live.Terms;

/// <summary>A group that exchanges MVR files, as the page shows it.</summary>
/// <param name="Follows">Whether each commit is taken as it comes.</param>
/// <param name="Trouble">Why it isn't joined, or null.</param>
/// <param name="Commits">The newest first.</param>
internal sealed record GroupState(
    string Group, string Address, bool Follows, string? Trouble, IReadOnlyList<GroupStation> Stations, IReadOnlyList<GroupCommit> Commits);

/// <param name="Trouble">Why it can't be spoken to, or empty.</param>
internal sealed record GroupStation(string Name, string Program, string Address, string Trouble);

/// <param name="Id">By which it is named.</param>
/// <param name="State">What is being done with it, <c>taken</c>, or empty.</param>
/// <param name="Words">Why something could not be done, or empty.</param>
/// <param name="Changes">What it changes, a line each; null until it was looked at, or where the rig can't be read with it.</param>
/// <param name="MoreChanges">Changes that are not among them.</param>
/// <param name="Notes">What of the file is not taken over.</param>
internal sealed record GroupCommit(
    string Id, string Station, string Comment, long Bytes, string State, string Words, IReadOnlyList<string>? Changes, int MoreChanges,
    IReadOnlyList<string> Notes);
