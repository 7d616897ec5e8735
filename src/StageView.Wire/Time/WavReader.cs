using System.Buffers.Binary;
using StageView.Ground.Files;
using StageView.Wire.Capture;

namespace StageView.Wire.Time;

/// <summary>Reads sound from a WAV file (RIFF or RF64): PCM of 8, 16, 24 or 32 bits, or 32-bit float; one channel of it.</summary>
public sealed class WavReader : IDisposable
{
    private readonly Stream _stream;
    private readonly int _bits;
    private readonly bool _isFloat;
    private readonly int _channel;
    private readonly int _frameBytes;
    private readonly byte[] _buffer;
    private long _left;

    private WavReader(Stream stream, int channels, int bits, bool isFloat, int sampleRate, long dataBytes, int channel)
    {
        _stream = stream;
        Channels = channels;
        _bits = bits;
        _isFloat = isFloat;
        SampleRate = sampleRate;
        _channel = channel;
        _left = dataBytes;
        _frameBytes = channels * bits / 8;
        _buffer = new byte[_frameBytes * 4096];
    }

    public int SampleRate { get; }

    public int Channels { get; }

    /// <param name="path">The file.</param>
    /// <param name="channel">From 0.</param>
    /// <exception cref="CaptureException">Missing, no WAV, or of a kind that isn't read; the message says which.</exception>
    public static WavReader Open(string path, int channel = 0)
    {
        FileStream stream;
        try
        {
            stream = new FileStream(path, FileMode.Open, FileAccess.Read, FileShare.ReadWrite, 1 << 16);
        }
        catch (Exception e) when (e is IOException or UnauthorizedAccessException)
        {
            throw new CaptureException($"{path}: {(e is FileNotFoundException or DirectoryNotFoundException ? "no such sound file" : e.Message)}", e);
        }

        try
        {
            return Open(stream, path, channel);
        }
        catch
        {
            stream.Dispose();
            throw;
        }
    }

    /// <summary>The next samples, -1 to 1; 0 at the end.</summary>
    public int Read(Span<float> samples)
    {
        var wanted = (int)Math.Min(Math.Min(samples.Length, _buffer.Length / _frameBytes), _left / _frameBytes);
        var got = _stream.ReadAtLeast(_buffer.AsSpan(0, wanted * _frameBytes), wanted * _frameBytes, throwOnEndOfStream: false) / _frameBytes;
        _left -= (long)got * _frameBytes;
        for (var i = 0; i < got; i++)
        {
            var at = _buffer.AsSpan((i * _frameBytes) + (_channel * _bits / 8));
            samples[i] = (_bits, _isFloat) switch
            {
                (8, _) => (at[0] - 128) / 128f,
                (16, _) => BinaryPrimitives.ReadInt16LittleEndian(at) / 32768f,
                (24, _) => ((at[0] << 8) | (at[1] << 16) | (at[2] << 24)) / 2147483648f,
                (_, false) => BinaryPrimitives.ReadInt32LittleEndian(at) / 2147483648f,
                _ => BinaryPrimitives.ReadSingleLittleEndian(at) is var f && float.IsFinite(f) ? f : 0,
            };
        }

        return got;
    }

    public void Dispose() => _stream.Dispose();

    private static WavReader Open(Stream stream, string path, int channel)
    {
        Span<byte> start = stackalloc byte[64];
        var head = start[..12];
        var got = stream.ReadAtLeast(head, 12, false);
        if (head.StartsWith("version"u8) && StoragePointer.Is(start[..(got + stream.ReadAtLeast(start[12..], start.Length - 12, false))]))
        {
            throw new CaptureException($"{path}: {StoragePointer.Told}");
        }

        if (got < 12 || !(head.StartsWith("RIFF"u8) || head.StartsWith("RF64"u8)) || !head[8..].SequenceEqual("WAVE"u8))
        {
            throw new CaptureException($"{path}: no WAV file (it doesn't begin with RIFF and WAVE)");
        }

        int channels = 0, bits = 0, rate = 0, format = 0;
        Span<byte> chunk = stackalloc byte[8];
        Span<byte> fmt = stackalloc byte[40];
        while (stream.ReadAtLeast(chunk, 8, false) == 8)
        {
            var length = BinaryPrimitives.ReadUInt32LittleEndian(chunk[4..]);
            if (chunk.StartsWith("fmt "u8) && length >= 16)
            {
                var take = (int)Math.Min(length, 40);
                fmt.Clear();
                stream.ReadAtLeast(fmt[..take], take, false);
                stream.Seek(length - take + (length & 1), SeekOrigin.Current);
                format = BinaryPrimitives.ReadUInt16LittleEndian(fmt);
                channels = BinaryPrimitives.ReadUInt16LittleEndian(fmt[2..]);
                rate = BinaryPrimitives.ReadInt32LittleEndian(fmt[4..]);
                bits = BinaryPrimitives.ReadUInt16LittleEndian(fmt[14..]);
                // WAVE_FORMAT_EXTENSIBLE holds the real one at the start of its sub-format.
                format = format == 0xFFFE && take >= 26 ? BinaryPrimitives.ReadUInt16LittleEndian(fmt[24..]) : format;
                continue;
            }

            if (chunk.StartsWith("data"u8))
            {
                if (!(format == 1 && bits is 8 or 16 or 24 or 32) && !(format == 3 && bits == 32))
                {
                    throw new CaptureException($"{path}: sound of format {format} with {bits} bits isn't read; convert it to PCM of 16 bits");
                }

                if (channels is < 1 or > 256 || rate is < 4_000 or > 768_000 || channel < 0 || channel >= channels)
                {
                    throw new CaptureException($"{path}: {channels} channels at {rate} samples a second; channel {channel + 1} can't be read from that");
                }

                // A recorder that was cut off leaves 0 or the highest number here: then the data runs to the end of the file.
                var there = stream.Length - stream.Position;
                return new WavReader(stream, channels, bits, format == 3, rate, length is 0 or uint.MaxValue ? there : Math.Min(length, there), channel);
            }

            stream.Seek(length + (length & 1), SeekOrigin.Current);
        }

        throw new CaptureException($"{path}: a WAV file without sound in it");
    }
}
