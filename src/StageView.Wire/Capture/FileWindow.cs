namespace StageView.Wire.Capture;

/// <summary>A window that slides over a file: asks for the next n bytes without copying record by record.</summary>
internal sealed class FileWindow(Stream stream) : IDisposable
{
    private byte[] _buffer = new byte[1 << 18];
    private int _start;
    private int _end;
    private long _offset;

    /// <summary>File offset of the next byte.</summary>
    public long Offset => _offset;

    public bool CanSeek => stream.CanSeek;

    /// <summary>How many of the next bytes are there, at most <paramref name="wanted"/>.</summary>
    public int Available(int wanted)
    {
        if (_end - _start >= wanted)
        {
            return wanted;
        }

        if (_buffer.Length - _start < wanted)
        {
            var target = wanted > _buffer.Length ? new byte[Math.Max(wanted, 2 * _buffer.Length)] : _buffer;
            _buffer.AsSpan(_start, _end - _start).CopyTo(target);
            _buffer = target;
            _end -= _start;
            _start = 0;
        }

        while (_end - _start < wanted)
        {
            var read = stream.Read(_buffer, _end, _buffer.Length - _end);
            if (read == 0)
            {
                break;
            }

            _end += read;
        }

        return Math.Min(wanted, _end - _start);
    }

    /// <summary>The next bytes, which <see cref="Available"/> said are there; valid until the next call.</summary>
    public ReadOnlyMemory<byte> Peek(int count) => _buffer.AsMemory(_start, count);

    public void Skip(int count)
    {
        _start += count;
        _offset += count;
    }

    public void Seek(long offset)
    {
        stream.Seek(offset, SeekOrigin.Begin);
        _offset = offset;
        _start = _end = 0;
    }

    public void Dispose() => stream.Dispose();
}
