namespace StageView.Stage.Levels;

/// <summary>Takes levels of what has no address, from an encoder for the same rig.</summary>
internal interface IOwnLevels
{
    /// <param name="stretch">Which 512 places, counted on from the universes.</param>
    /// <param name="at">Show time.</param>
    /// <param name="levels">The 512 levels.</param>
    void OnOwnLevels(int stretch, TimeSpan at, ReadOnlySpan<byte> levels);
}
