using System.IO.Compression;
using ZstdSharp;

namespace StageView.Wire.Capture;

/// <summary>
/// A compressed file as its content: gzip and zstd, several members or frames one after another. Nothing is kept, so a place further on takes as long as
/// unpacking up to it, and one further back begins anew.
/// </summary>
internal sealed class UnpackedStream : Stream
{
    private readonly FileStream _file;
    private readonly bool _zstd;
    private Stream _content;
    private long _position;

    private UnpackedStream(FileStream file, bool zstd)
    {
        (_file, _zstd) = (file, zstd);
        _content = Begin();
    }

    public override bool CanRead => true;

    public override bool CanSeek => true;

    public override bool CanWrite => false;

    public override long Length => throw new NotSupportedException();

    public override long Position { get => _position; set => Seek(value, SeekOrigin.Begin); }

    /// <summary>The content of a file: unpacked where its first bytes say that it is compressed; else, and of what can't go back (a pipe), the file.</summary>
    public static Stream Of(FileStream file)
    {
        if (!file.CanSeek)
        {
            return file;
        }

        Span<byte> magic = stackalloc byte[4];
        var there = file.ReadAtLeast(magic, magic.Length, throwOnEndOfStream: false);
        file.Position = 0;
        return IsGzip(magic[..there]) ? new UnpackedStream(file, zstd: false) : IsZstd(magic[..there]) ? new UnpackedStream(file, zstd: true) : file;
    }

    /// <summary>Whether a file's content is other than its bytes.</summary>
    public static bool IsPacked(ReadOnlySpan<byte> head) => IsGzip(head) || IsZstd(head);

    /// <exception cref="InvalidDataException">The compressed data are damaged or end early.</exception>
    public override int Read(Span<byte> buffer)
    {
        try
        {
            var read = _content.Read(buffer);
            _position += read;
            return read;
        }
        catch (Exception e) when (e is ZstdException or EndOfStreamException or InvalidDataException)
        {
            throw new InvalidDataException(FormattableString.Invariant(
                $"its {(_zstd ? "zstd" : "gzip")} data are damaged or cut near byte {_file.Position} of the file ({e.Message.TrimEnd('.')})"), e);
        }
    }

    public override int Read(byte[] buffer, int offset, int count) => Read(buffer.AsSpan(offset, count));

    public override long Seek(long offset, SeekOrigin origin)
    {
        if (origin != SeekOrigin.Begin)
        {
            throw new NotSupportedException();
        }

        if (offset < _position)
        {
            _content.Dispose();
            _file.Position = _position = 0;
            _content = Begin();
        }

        Span<byte> passed = stackalloc byte[4096];
        while (_position < offset && Read(passed[..(int)Math.Min(passed.Length, offset - _position)]) > 0)
        {
        }

        return _position;
    }

    public override void Flush()
    {
    }

    public override void SetLength(long value) => throw new NotSupportedException();

    public override void Write(byte[] buffer, int offset, int count) => throw new NotSupportedException();

    protected override void Dispose(bool disposing)
    {
        if (disposing)
        {
            _content.Dispose();
            _file.Dispose();
        }

        base.Dispose(disposing);
    }

    private Stream Begin() => _zstd ? new DecompressionStream(_file, 1 << 17, checkEndOfStream: true, leaveOpen: true)
        : new BufferedStream(new GZipStream(_file, CompressionMode.Decompress, leaveOpen: true), 1 << 17);

    private static bool IsGzip(ReadOnlySpan<byte> head) => head is [0x1F, 0x8B, ..];

    private static bool IsZstd(ReadOnlySpan<byte> head) => head is [0x28, 0xB5, 0x2F, 0xFD, ..];
}
