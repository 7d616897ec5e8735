namespace StageView.Wire.Capture;

/// <summary>A window that slides over a file: asks for the next n bytes without copying record by record.</summary>
internal sealed class FileWindow(Stream stream) : IDisposable
{
    private byte[] _buffer = new byte[1 << 18];
    private int _start;
    private int _end;
    private long _offset;
    private int? _pinned;

    /// <summary>File offset of the next byte.</summary>
    public long Offset => _offset;

    /// <summary>Why the bytes end where they do, when the file could not be read on; null else.</summary>
    public string? Failure { get; private set; }

    /// <summary>How many of the next bytes are there, at most <paramref name="wanted"/>.</summary>
    public int Available(int wanted)
    {
        if (_end - _start >= wanted)
        {
            return wanted;
        }

        if (_buffer.Length - _start < wanted)
        {
            var kept = Math.Min(_start, _pinned ?? _start);
            var target = wanted + _start - kept > _buffer.Length ? new byte[Math.Max(wanted + _start - kept, 2 * _buffer.Length)] : _buffer;
            _buffer.AsSpan(kept, _end - kept).CopyTo(target);
            _buffer = target;
            _end -= kept;
            _start -= kept;
            _pinned -= kept;
        }

        while (_end - _start < wanted)
        {
            var read = Read();
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
        // What is still in the window is not read again.
        if (offset >= _offset - _start && offset <= _offset + _end - _start)
        {
            Skip((int)(offset - _offset));
            return;
        }

        Failure = null;
        try
        {
            stream.Seek(offset, SeekOrigin.Begin);
        }
        catch (InvalidDataException e)
        {
            Failure = e.Message;
        }

        _offset = offset;
        _start = _end = 0;
    }

    /// <summary>Keeps what comes from a place on that is still in the window, so that reading can come back to it.</summary>
    public void Pin(long offset) => _pinned = (int)(offset - _offset) + _start;

    /// <summary>Lets go of what was kept.</summary>
    public void Unpin() => _pinned = null;

    private int Read()
    {
        if (Failure is not null)
        {
            return 0;
        }

        try
        {
            return stream.Read(_buffer, _end, _buffer.Length - _end);
        }
        catch (InvalidDataException e)
        {
            Failure = e.Message;
            return 0;
        }
    }

    public void Dispose() => stream.Dispose();
}
