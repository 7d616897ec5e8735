namespace StageView.Wire.Exchange;

/// <summary>Reads and writes messages on a connection. A message may lie in any number of packets, and those in any number of pieces.</summary>
internal sealed class ExchangeStream(Stream connection, TimeProvider clock)
{
    /// <summary>The longest that nothing may come.</summary>
    public static readonly TimeSpan Silence = TimeSpan.FromSeconds(15);

    /// <summary>The longest that a message of JSON may take.</summary>
    private static readonly TimeSpan MessageTime = TimeSpan.FromSeconds(30);

    /// <summary>The longest that a file may take.</summary>
    private static readonly TimeSpan FileTime = TimeSpan.FromMinutes(15);

    private readonly byte[] _head = new byte[ExchangeNumbers.HeaderLength];

    /// <summary>The next message; null where the connection has ended between two.</summary>
    /// <exception cref="ExchangeException">It is none, or too much.</exception>
    /// <exception cref="IOException">The connection broke.</exception>
    public async Task<ExchangeMessage?> Read(CancellationToken stop) => (await Read(null, 0, stop).ConfigureAwait(false)).Message;

    /// <summary>The next message, or a file where one is expected.</summary>
    /// <param name="file">Where a file goes; null where none is expected.</param>
    /// <param name="most">Bytes that it may have.</param>
    /// <param name="stop">Gives up.</param>
    /// <returns>The message, or null with the file's bytes.</returns>
    /// <exception cref="ExchangeException">It is none, or too much.</exception>
    /// <exception cref="IOException">The connection broke.</exception>
    public async Task<(ExchangeMessage? Message, long FileBytes)> Read(Stream? file, long most, CancellationToken stop)
    {
        if (await ReadHead(stop).ConfigureAwait(false) is not { } packet)
        {
            return (null, 0);
        }

        using var text = new MemoryStream();
        var isFile = packet.Content == ExchangeContent.File;
        if (isFile && file is null)
        {
            throw new ExchangeException("a file came that nobody asked for");
        }

        using var total = new CancellationTokenSource(isFile ? FileTime : MessageTime, clock);
        using var both = CancellationTokenSource.CreateLinkedTokenSource(stop, total.Token);
        most = isFile ? Math.Min(most, ExchangeNumbers.MostFileBytes) : ExchangeNumbers.MostJsonBytes;
        var bytes = 0L;
        for (var (first, next) = (packet, 0u); ; next++)
        {
            if (packet.Number != next || packet.Count != first.Count || packet.Content != first.Content)
            {
                throw new ExchangeException($"packet {packet.Number} of {packet.Count} came where packet {next} of {first.Count} follows");
            }

            bytes += packet.Length;
            if (bytes > most)
            {
                throw new ExchangeException($"more than {most} bytes came: {(isFile ? "the commit said less" : "a message has at most a MiB")}");
            }

            await Copy(packet.Length, isFile ? file! : text, both.Token).ConfigureAwait(false);
            if (next + 1 == first.Count)
            {
                break;
            }

            packet = await ReadHead(both.Token).ConfigureAwait(false) ?? throw new ExchangeException("the connection ended within a message");
        }

        if (isFile)
        {
            return (null, bytes);
        }

        return ExchangeMessage.TryRead(text.ToArray(), out var message, out var why) ? (message, 0) : throw new ExchangeException(why);
    }

    public Task Write(ExchangeMessage message, CancellationToken stop) => Write(ExchangeContent.Json, message.Write(), stop);

    public async Task Write(ExchangeContent content, ReadOnlyMemory<byte> payload, CancellationToken stop)
    {
        var head = new byte[ExchangeNumbers.HeaderLength];
        new ExchangePacket(0, 1, content, payload.Length).Write(head);
        await Patiently(t => connection.WriteAsync(head, t), stop).ConfigureAwait(false);

        // In pieces, so that one who takes nothing is noticed.
        for (var at = 0; at < payload.Length; at += 1 << 16)
        {
            var piece = payload.Slice(at, Math.Min(1 << 16, payload.Length - at));
            await Patiently(t => connection.WriteAsync(piece, t), stop).ConfigureAwait(false);
        }

        await connection.FlushAsync(stop).ConfigureAwait(false);
    }

    private async Task<ExchangePacket?> ReadHead(CancellationToken stop)
    {
        for (var read = 0; read < _head.Length;)
        {
            var more = await Patiently(t => connection.ReadAsync(_head.AsMemory(read), t), stop).ConfigureAwait(false);
            if (more == 0)
            {
                return read == 0 ? null : throw new ExchangeException("the connection ended within a packet's head");
            }

            read += more;
        }

        return ExchangePacket.TryRead(_head, out var packet, out var refusal) ? packet : throw new ExchangeException($"a packet was refused: {refusal}");
    }

    private async Task Copy(long bytes, Stream to, CancellationToken stop)
    {
        // Nothing is set aside for a length that is only claimed.
        var buffer = new byte[(int)Math.Min(bytes, 1 << 16)];
        while (bytes > 0)
        {
            var more = await Patiently(t => connection.ReadAsync(buffer.AsMemory(0, (int)Math.Min(bytes, buffer.Length)), t), stop).ConfigureAwait(false);
            if (more == 0)
            {
                throw new ExchangeException("the connection ended within a packet");
            }

            await to.WriteAsync(buffer.AsMemory(0, more), stop).ConfigureAwait(false);
            bytes -= more;
        }
    }

    private async Task<int> Patiently(Func<CancellationToken, ValueTask<int>> read, CancellationToken stop)
    {
        using var silence = new CancellationTokenSource(Silence, clock);
        using var both = CancellationTokenSource.CreateLinkedTokenSource(stop, silence.Token);
        try
        {
            return await read(both.Token).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (!stop.IsCancellationRequested)
        {
            throw new ExchangeException($"nothing came for {Silence.TotalSeconds:0} s");
        }
    }

    private Task<int> Patiently(Func<CancellationToken, ValueTask> write, CancellationToken stop) => Patiently(async t =>
    {
        await write(t).ConfigureAwait(false);
        return 0;
    }, stop);
}
