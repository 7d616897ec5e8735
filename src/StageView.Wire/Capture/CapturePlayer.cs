namespace StageView.Wire.Capture;

/// <summary>Feeds a capture into a merger up to a time, so that the levels at that time have seen the whole history in order.</summary>
public sealed class CapturePlayer(CaptureReader reader, UniverseMerger merger)
{
    private CapturedDatagram _next;
    private bool _hasNext;
    private bool _atEnd;

    /// <summary>Time of the last datagram fed.</summary>
    public TimeSpan Position { get; private set; }

    /// <summary>Datagrams fed.</summary>
    public long Fed { get; private set; }

    /// <summary>Whether the whole capture has been fed.</summary>
    public bool AtEnd => _atEnd && !_hasNext;

    /// <summary>Feeds every datagram up to and with <paramref name="until"/>, then lets the merger's time pass to it. Times must not decrease from call to call.</summary>
    public void PlayTo(TimeSpan until)
    {
        while (Peek() && _next.At <= until)
        {
            Feed();
        }

        merger.Advance(until);
    }

    /// <summary>Feeds all that is left. The merger's time ends at the last datagram.</summary>
    public void PlayToEnd()
    {
        while (Peek())
        {
            Feed();
        }
    }

    private void Feed()
    {
        merger.Receive(_next.At, _next.From, _next.Payload.Span);
        Position = _next.At;
        Fed++;
        _hasNext = false;
    }

    private bool Peek()
    {
        if (!_hasNext && !_atEnd)
        {
            _hasNext = reader.TryRead(out _next);
            _atEnd = !_hasNext;
        }

        return _hasNext;
    }
}
