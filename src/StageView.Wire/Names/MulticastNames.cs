using System.Net;
using System.Net.Sockets;
using StageView.Wire.Sockets;

namespace StageView.Wire.Names;

/// <summary>
/// Offers one service by multicast DNS (RFC 6762) on one interface, and finds the others of its group. Sent are: the probe and the announcement of the offer,
/// answers about it, questions for the group, and a goodbye. IPv4.
/// </summary>
public sealed class MulticastNames : IAsyncDisposable
{
    private static readonly TimeSpan ProbeEvery = TimeSpan.FromMilliseconds(250);

    /// <summary>RFC 6762, 6: a record is sent at most once a second.</summary>
    private static readonly TimeSpan AnswerEvery = TimeSpan.FromSeconds(1);

    /// <summary>Pauses between questions, the last one ever again (RFC 6762, 5.2: growing from a second).</summary>
    private static readonly double[] s_pauses = [1, 2, 4, 8, 16, 30, 60];

    private readonly ServiceOffer _offer;
    private readonly IPEndPoint _group;
    private readonly Socket _socket;
    private readonly TimeProvider _clock;
    private readonly long _start;
    private readonly CancellationTokenSource _stop = new();
    private readonly Lock _gate = new();
    private readonly NameCache _cache;
    private readonly SemaphoreSlim _askSoon = new(0);
    private IReadOnlyList<ServiceSeen> _seen = [];
    private bool _disputed;
    private bool _announced;
    private TimeSpan _answered = TimeSpan.MinValue;
    private Task _work = Task.CompletedTask;

    /// <param name="offer">What is offered; its address names the interface.</param>
    /// <param name="clock">The clock.</param>
    /// <param name="port">UDP port, where it isn't the standard's.</param>
    /// <exception cref="ListenException">The port can't be shared, or the interface takes no multicast.</exception>
    public MulticastNames(ServiceOffer offer, TimeProvider clock, int port = DnsNumbers.Port)
    {
        ArgumentNullException.ThrowIfNull(offer);
        ArgumentNullException.ThrowIfNull(clock);
        _offer = offer;
        _clock = clock;
        _start = clock.GetTimestamp();
        _group = new IPEndPoint(DnsNumbers.Group, port);
        _cache = new NameCache(offer.Type, offer.Group);
        _socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        try
        {
            ISocketSystem.Here.AllowReuse(_socket);
            ISocketSystem.Here.TakeOnlyJoinedGroups(_socket);
            _socket.Bind(new IPEndPoint(IPAddress.Any, port));
            _socket.SetSocketOption(SocketOptionLevel.IP, SocketOptionName.AddMembership, new MulticastOption(DnsNumbers.Group, offer.Address));
            _socket.SetSocketOption(SocketOptionLevel.IP, SocketOptionName.MulticastInterface, offer.Address.GetAddressBytes());
            _socket.SetSocketOption(SocketOptionLevel.IP, SocketOptionName.MulticastLoopback, true);

            // RFC 6762, 11.
            _socket.SetSocketOption(SocketOptionLevel.IP, SocketOptionName.MulticastTimeToLive, 255);
        }
        catch (SocketException e)
        {
            _socket.Dispose();
            throw new ListenException(
                $"can't use multicast DNS (UDP port {port}) at {offer.Address}: {e.Message}; is it an address of this machine, on an interface that is up?", e);
        }
    }

    public static int StandardPort => DnsNumbers.Port;

    /// <summary>The group's other services that are known now.</summary>
    public IReadOnlyList<ServiceSeen> Seen
    {
        get
        {
            lock (_gate)
            {
                return _seen = Others();
            }
        }
    }

    /// <summary>Told when <see cref="Seen"/> has become another.</summary>
    public event Action? Changed;

    /// <summary>Makes sure that nobody has the names, says that the service is there, and begins to look for others.</summary>
    /// <exception cref="ListenException">Someone on the network has the names.</exception>
    public async Task Start(CancellationToken stop)
    {
        var listen = Task.Run(Listen, CancellationToken.None);
        _work = listen;
        for (var i = 0; i < 3 && !_disputed; i++)
        {
            await Send(_offer.Probe()).ConfigureAwait(false);
            await Task.Delay(ProbeEvery, _clock, stop).ConfigureAwait(false);
        }

        if (_disputed)
        {
            throw new ListenException($"another program on this network is \"{_offer.Instance}\" already: end it, or choose another name");
        }

        _announced = true;
        await Send(_offer.Announcement(goodbye: false)).ConfigureAwait(false);
        _work = Task.WhenAll(listen, Task.Run(Ask, CancellationToken.None));
    }

    public async ValueTask DisposeAsync()
    {
        if (_announced && !_disputed)
        {
            await Send(_offer.Announcement(goodbye: true)).ConfigureAwait(false);
        }

        await _stop.CancelAsync().ConfigureAwait(false);
        try
        {
            await _work.ConfigureAwait(false);
        }
        catch (OperationCanceledException)
        {
        }

        _socket.Dispose();
        _stop.Dispose();
        _askSoon.Dispose();
    }

    private TimeSpan Now => _clock.GetElapsedTime(_start);

    private async Task Listen()
    {
        var buffer = new byte[DnsNumbers.MostBytes];
        while (!_stop.IsCancellationRequested)
        {
            int length;
            try
            {
                length = await _socket.ReceiveAsync(buffer, SocketFlags.None, _stop.Token).ConfigureAwait(false);
            }
            catch (SocketException)
            {
                // Longer than a message may be, or the interface went down: the next one may come through.
                await Task.Delay(ProbeEvery, _clock, _stop.Token).ConfigureAwait(false);
                continue;
            }

            if (DnsMessage.Read(buffer.AsSpan(0, length)) is { } message)
            {
                await Take(message).ConfigureAwait(false);
            }
        }
    }

    private async Task Take(DnsMessage message)
    {
        if (!message.IsResponse)
        {
            if (_announced && _offer.Answer(message) is { } answer && (_answered == TimeSpan.MinValue || Now - _answered >= AnswerEvery))
            {
                _answered = Now;
                await Send(answer).ConfigureAwait(false);
            }

            return;
        }

        if (!_announced && _offer.IsDisputedBy(message))
        {
            _disputed = true;
            return;
        }

        bool changed;
        bool ask;
        lock (_gate)
        {
            _cache.Take(message, Now);
            var seen = Others();
            changed = !seen.Select(Line).SequenceEqual(_seen.Select(Line));
            _seen = seen;
            ask = _cache.Questions.Count() > 2;
        }

        if (ask && _askSoon.CurrentCount == 0)
        {
            _askSoon.Release();
        }

        if (changed)
        {
            Changed?.Invoke();
        }
    }

    private async Task Ask()
    {
        for (var i = 0; !_stop.IsCancellationRequested; i++)
        {
            var query = new DnsMessage();
            lock (_gate)
            {
                query.Questions.AddRange(_cache.Questions.Take(50));
                query.Answers.AddRange(_cache.Known(Now).Take(50));
            }

            await Send(query).ConfigureAwait(false);

            // The announcement is said twice, a second apart at least (RFC 6762, 8.3).
            var soon = await _askSoon.WaitAsync(TimeSpan.FromSeconds(s_pauses[Math.Min(i, s_pauses.Length - 1)]), _stop.Token).ConfigureAwait(false);
            if (soon)
            {
                await Task.Delay(AnswerEvery, _clock, _stop.Token).ConfigureAwait(false);
            }

            if (i == 0)
            {
                await Send(_offer.Announcement(goodbye: false)).ConfigureAwait(false);
            }

            Changed?.Invoke();
        }
    }

    private async Task Send(DnsMessage message)
    {
        try
        {
            await _socket.SendToAsync(message.Write(), SocketFlags.None, _group).ConfigureAwait(false);
        }
        catch (SocketException)
        {
            // The interface is down: it is asked and said again later.
        }
    }

    private IReadOnlyList<ServiceSeen> Others() =>
        [.. _cache.Seen(Now).Where(s => s.Port != _offer.Port || !s.Address.Equals(_offer.Address))];

    private static string Line(ServiceSeen s) => $"{s.Name} {s.Address} {s.Port} {string.Join(' ', s.Texts.Select(t => t.Key + "=" + t.Value))}";
}
