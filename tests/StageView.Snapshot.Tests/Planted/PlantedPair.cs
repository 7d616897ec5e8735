using StageView.Snapshot.Images;

namespace StageView.Snapshot.Tests.Planted;

/// <summary>Two frames made for the purpose, and whether a person running a show would call them changed.</summary>
public sealed record PlantedPair(string Name, bool IsChange, FrameImage Before, FrameImage After)
{
    /// <summary>Whether an eye would tell them apart; null where that is on the brink. A change that only numbers show is none to the perceptual mode.</summary>
    public bool? IsSeen { get; init; } = IsChange;
}
