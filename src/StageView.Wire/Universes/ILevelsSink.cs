namespace StageView.Wire.Universes;

/// <summary>Takes merged levels as they change. Calls come in order of time from one thread.</summary>
public interface ILevelsSink
{
    /// <summary>The merged levels of one universe changed.</summary>
    /// <param name="universe">Which universe.</param>
    /// <param name="at">Show time: since the start of the capture, or since listening began. Never earlier than the call before.</param>
    /// <param name="levels">All 512 levels, address 1 first; valid during the call only.</param>
    void OnLevels(UniverseNumber universe, TimeSpan at, ReadOnlySpan<byte> levels);
}
