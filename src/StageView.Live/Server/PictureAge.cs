namespace StageView.Live.Server;

/// <summary>
/// How old what a viewer sees is: it is right for as long as the state has the essence that its picture has. Called under its owner's lock.
/// </summary>
internal sealed class PictureAge(TimeProvider clock)
{
    private ulong _stateEssence;
    private long _stateAt;
    private ulong _shownEssence;
    private long? _rightAt;

    /// <summary>s since the picture on the page was right; null before the first one.</summary>
    public double? Seconds => _rightAt is { } at ? clock.GetElapsedTime(at).TotalSeconds : null;

    /// <summary>What the state was at a time.</summary>
    public void Is(ulong essence, long at)
    {
        (_stateEssence, _stateAt) = (essence, Math.Max(at, _stateAt));
        Compare();
    }

    /// <summary>A picture is on the page.</summary>
    /// <param name="essence">Of the state that it shows.</param>
    /// <param name="at">When that was read.</param>
    public void Shown(ulong essence, long at)
    {
        _rightAt = essence == _shownEssence && _rightAt is { } before ? Math.Max(before, at) : at;
        _shownEssence = essence;
        Compare();
    }

    private void Compare()
    {
        if (_rightAt is { } right && _shownEssence == _stateEssence)
        {
            _rightAt = Math.Max(right, _stateAt);
        }
    }
}
