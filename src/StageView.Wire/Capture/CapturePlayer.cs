using StageView.Wire.Levels;

namespace StageView.Wire.Capture;

/// <summary>Feeds a capture into a merger up to a time, so that the levels at that time have seen the whole history in order.</summary>
/// <param name="reader">The capture.</param>
/// <param name="merger">What is fed.</param>
/// <param name="only">Which datagrams are fed; all when null.</param>
public sealed class CapturePlayer(CaptureReader reader, UniverseMerger merger, Func<CapturedDatagram, bool>? only = null)
{
    // Datagrams between the first fragment of another and its last.
    private const int MostBetween = 4096;
    private CapturedDatagram _next;
    private bool _hasNext;
    private bool _atEnd;

    /// <summary>Time of the last datagram fed.</summary>
    public TimeSpan Position { get; private set; }

    /// <summary>Datagrams fed.</summary>
    public long Fed { get; private set; }

    /// <summary>Whether the whole capture has been fed.</summary>
    public bool AtEnd => _atEnd && !_hasNext;

    /// <summary>
    /// Brings a new merger to a time without reading the capture from its start: the last packet that every stream sent before, then
    /// the seconds up to the time. Levels are those of playing it all, but for LTP between live sources, where what changed longer ago than
    /// 15 s is taken in the order of last packets.
    /// </summary>
    /// <param name="index">The capture's index.</param>
    /// <param name="time">Where to.</param>
    public void SeekTo(CaptureIndex index, TimeSpan time)
    {
        ArgumentNullException.ThrowIfNull(index);
        _hasNext = false;
        _atEnd = false;
        Fed = 0;
        if (index.Before(time - CaptureIndex.Lead) is { } mark)
        {
            foreach (var last in mark.Last.OrderBy(l => l.At).ThenBy(l => l.Offset))
            {
                reader.SeekTo(index.FirstTicks, last.At, last.Offset, index.Tables[last.Table]);
                // One that came in fragments is whole some records after its place.
                for (var i = 0; i < MostBetween && reader.TryRead(out _next, out var record); i++)
                {
                    if (record.Offset == last.Offset)
                    {
                        Feed();
                        break;
                    }
                }
            }

            reader.SeekTo(index.FirstTicks, mark.At, mark.Offset, index.Tables[mark.Table]);
        }
        else if (index.Marks.Count > 0)
        {
            var first = index.Marks[0];
            reader.SeekTo(index.FirstTicks, first.At, first.Offset, index.Tables[first.Table]);
        }

        PlayTo(time);
    }

    /// <summary>
    /// Feeds every datagram up to and with <paramref name="until"/>, then lets the merger's time pass to it. Times must not decrease from call to call.
    /// </summary>
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
        if (only is null || only(_next))
        {
            merger.Receive(_next.At, _next.From, _next.Payload.Span);
        }

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
