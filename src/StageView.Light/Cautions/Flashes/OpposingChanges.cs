namespace StageView.Light.Cautions.Flashes;

/// <summary>
/// Follows a value over time and tells its large opposing changes: a rise from the least value since the last fall, then a fall from the largest value since
/// that rise, and so on ("transitions between adjacent peaks and valleys", WCAG 2.2). Small wobbles on the way don't count, slow changes do. A few numbers
/// of memory.
/// </summary>
internal struct OpposingChanges
{
    private float _low;
    private float _high;
    private bool _lowMarked;
    private bool _highMarked;
    private sbyte _last;
    private bool _begun;

    /// <summary>The next value; 1 for a rise just completed, -1 for a fall, 0 for neither.</summary>
    /// <param name="value">The value.</param>
    /// <param name="change">At least so much makes a change.</param>
    /// <param name="darkerBelow">The lower of the two states must lie below this.</param>
    public int Step(float value, float change, float darkerBelow)
    {
        Begin(value, true);
        // A hair less than asked, so that what is exactly as large counts however it was rounded.
        var enough = change * (1 - 1e-5f);
        if (_last <= 0)
        {
            _low = MathF.Min(_low, value);
            if (value - _low >= enough && _low < darkerBelow)
            {
                return Rise(value, true);
            }
        }

        if (_last >= 0)
        {
            _high = MathF.Max(_high, value);
            if (_high - value >= enough && value < darkerBelow)
            {
                return Fall(value, true);
            }
        }

        return 0;
    }

    /// <summary>The same for changes that must exceed a size and have a mark on either of their two states.</summary>
    public int StepMarked(float value, bool marked, float change)
    {
        Begin(value, marked);
        var more = change * (1 + 1e-5f);
        if (_last <= 0)
        {
            (_low, _lowMarked) = value < _low ? (value, marked) : (_low, _lowMarked);
            if (value - _low > more && (marked || _lowMarked))
            {
                return Rise(value, marked);
            }
        }

        if (_last >= 0)
        {
            (_high, _highMarked) = value >= _high ? (value, marked || (_highMarked && value == _high)) : (_high, _highMarked);
            if (_high - value > more && (marked || _highMarked))
            {
                return Fall(value, marked);
            }
        }

        return 0;
    }

    /// <summary>
    /// The same for ratios: a fall to the share of the largest value or below, a rise from the share of the value or below that reaches the least level.
    /// </summary>
    public int StepRatio(float value, float share, float least)
    {
        Begin(value, true);
        if (_last <= 0)
        {
            _low = MathF.Min(_low, value);
            if (value >= least && _low <= share * value && value > 0)
            {
                return Rise(value, true);
            }
        }

        if (_last >= 0)
        {
            _high = MathF.Max(_high, value);
            if (_high >= least && value <= share * _high && _high > 0)
            {
                return Fall(value, true);
            }
        }

        return 0;
    }

    private void Begin(float value, bool marked)
    {
        if (!_begun)
        {
            (_low, _high, _lowMarked, _highMarked, _begun) = (value, value, marked, marked, true);
        }
    }

    private int Rise(float value, bool marked)
    {
        (_high, _highMarked, _last) = (value, marked, 1);
        return 1;
    }

    private int Fall(float value, bool marked)
    {
        (_low, _lowMarked, _last) = (value, marked, -1);
        return -1;
    }
}
