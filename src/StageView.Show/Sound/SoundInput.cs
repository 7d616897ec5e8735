using System.Buffers.Binary;
using StageView.Show.Programs;

namespace StageView.Show.Sound;

/// <summary>Hears one channel of a sound source as it comes, on a thread of its own.</summary>
public sealed class SoundInput : IDisposable
{
    private readonly SoundSource _source;
    private readonly ISoundEar _ear;
    private readonly ProgramReader _reader;

    /// <param name="source">What is heard; opened at once, and again after a pause whenever it ends.</param>
    /// <param name="ear">Who hears it.</param>
    public SoundInput(SoundSource source, ISoundEar ear)
    {
        (_source, _ear) = (source, ear);
        _reader = new ProgramReader(source.Program, Read, ear.Ended);
    }

    /// <summary>How often its program was started.</summary>
    public int Starts => _reader.Starts;

    public void Dispose() => _reader.Dispose();

    private bool Read(Stream from)
    {
        var frame = 2 * _source.Channels;
        var bytes = new byte[frame * 2048];
        var samples = new float[2048];
        var held = 0;
        var came = false;
        for (int got; (got = from.Read(bytes, held, bytes.Length - held)) > 0;)
        {
            var there = held + got;
            var count = there / frame;
            for (var i = 0; i < count; i++)
            {
                samples[i] = BinaryPrimitives.ReadInt16LittleEndian(bytes.AsSpan((i * frame) + (2 * _source.Channel))) / 32768f;
            }

            held = there - (count * frame);
            bytes.AsSpan(count * frame, held).CopyTo(bytes);
            if (count == 0)
            {
                continue;
            }

            if (!came)
            {
                came = true;
                _ear.Begun();
            }

            _ear.Hear(samples.AsSpan(0, count));
        }

        return came;
    }
}
