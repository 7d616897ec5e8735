namespace StageView.Snapshot;

/// <summary>Pieces of a byte array read one after another.</summary>
internal sealed class SpanStream(byte[] file, List<(int At, int Length)> pieces) : Stream
{
    private int _piece;
    private int _used;

    public override bool CanRead => true;

    public override bool CanSeek => false;

    public override bool CanWrite => false;

    public override long Length => throw new NotSupportedException();

    public override long Position
    {
        get => throw new NotSupportedException();
        set => throw new NotSupportedException();
    }

    public override int Read(Span<byte> buffer)
    {
        while (_piece < pieces.Count && _used == pieces[_piece].Length)
        {
            (_piece, _used) = (_piece + 1, 0);
        }

        if (_piece == pieces.Count)
        {
            return 0;
        }

        var (at, length) = pieces[_piece];
        var count = Math.Min(buffer.Length, length - _used);
        file.AsSpan(at + _used, count).CopyTo(buffer);
        _used += count;
        return count;
    }

    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    public override void Flush()
    {
    }

    public override long Seek(long offset, SeekOrigin origin) => throw new NotSupportedException();

    public override void SetLength(long value) => throw new NotSupportedException();

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();
}
