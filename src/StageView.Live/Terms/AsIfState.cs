namespace StageView.Live.Terms;

/// <summary>A level that is looked at instead of the one that comes in. It is never sent.</summary>
/// <param name="Fixture">Its name.</param>
/// <param name="Channel">The channel's name in the fixture.</param>
/// <param name="Raw">In the channel's resolution.</param>
internal sealed record AsIfLevel(string Fixture, string Channel, long Raw);

/// <summary>What is looked at as if it were so.</summary>
/// <param name="Levels">How many channels have another level than the one that comes in.</param>
/// <param name="Fixtures">How many fixtures these are of.</param>
/// <param name="Newest">The newest of them, most a few.</param>
internal sealed record AsIfState(int Levels, int Fixtures, IReadOnlyList<AsIfLevel> Newest);
