namespace StageView.Snapshot.Pairs;

/// <summary>What belongs together of two sets of frames.</summary>
/// <param name="Name">The new frame's name, else the base's; unique among all pairs.</param>
/// <param name="Base">Name in the base, or null when only the new set has it.</param>
/// <param name="New">Name in the new set, or null when only the base has it.</param>
/// <param name="Seconds">When it is in its show, s; 0 where nothing says so.</param>
public sealed record FramePair(string Name, string? Base, string? New, double Seconds);
