namespace StageView.Wire.Time;

/// <summary>
/// When sound was heard that arrives in blocks: samples pass evenly, blocks are late by more or less, so the least late of the last two seconds tells
/// where the samples lie on this machine's clock. It follows the sound card's own clock, and lost samples, by half the length of each block at most,
/// so that times never run back.
/// </summary>
/// <param name="sampleRate">Samples a second.</param>
public sealed class SampleClock(double sampleRate)
{
    private static readonly TimeSpan s_window = TimeSpan.FromSeconds(2);
    private readonly Queue<(TimeSpan Now, TimeSpan Late)> _recent = new();
    private long _samples;
    private TimeSpan? _late;

    /// <param name="count">Samples of the block.</param>
    /// <param name="now">When it arrived.</param>
    /// <returns>What to add to the time since the first sample, for the samples of this block.</returns>
    public TimeSpan Take(int count, TimeSpan now)
    {
        _samples += count;
        var late = now - TimeSpan.FromSeconds(_samples / sampleRate);
        _recent.Enqueue((now, late));
        while (now - _recent.Peek().Now > s_window)
        {
            _recent.Dequeue();
        }

        var most = TimeSpan.FromSeconds(count / sampleRate / 2);
        var least = _recent.Min(r => r.Late);
        _late = _late is not { } before ? least : before + TimeSpan.FromTicks(Math.Clamp((least - before).Ticks, -most.Ticks, most.Ticks));
        return _late.Value;
    }
}
