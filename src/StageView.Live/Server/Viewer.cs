using System.Collections.Concurrent;
using System.Net.WebSockets;
using System.Text.Json;
using System.Threading.Channels;
using StageView.Live.Measuring;
using StageView.Live.Night;
using StageView.Live.Terms;

namespace StageView.Live.Server;

/// <summary>
/// One page. What it is sent is never queued: a picture and a state are made when the link can take them; only answers
/// to its own questions wait, and a page that asks without reading is let go. Answers and states pass before pictures, between the slices of one on a slow
/// link.
/// </summary>
internal sealed class Viewer(WebSocket socket, ILiveShow show, FramePump pump, SeatPlan seats, PageQuestions questions, NightJournal journal,
    LiveServerOptions options, TimeProvider clock, DoorRole role) : IDisposable
{
    private const int MostAnswersWaiting = 64;
    private const int MostBadMessages = 20;
    private static readonly TimeSpan StateEvery = TimeSpan.FromMilliseconds(250);

    /// <summary>A state waits for the word that the one before it came; not longer than this.</summary>
    private static readonly TimeSpan StateAnyway = TimeSpan.FromSeconds(2);

    private readonly LinkQuality _quality = new(options.PinnedRung);
    private readonly FrameEncoder _encoder = new();
    private readonly FirstSight _marker = new();
    private readonly ConcurrentQueue<byte[]> _answers = new();
    private readonly Channel<Asked> _asked =
        Channel.CreateBounded<Asked>(new BoundedChannelOptions(MostAnswersWaiting) { SingleReader = true, SingleWriter = true });
    private readonly SemaphoreSlim _something = new(0, 1);
    private volatile PageSeat _seat = seats.Take(null);
    private volatile string? _beside;
    private volatile bool _isGuest;
    private readonly StateChanges _told = new();
    private FrameDesk? _desk;
    private SendWindow? _window;
    private SlicedPicture? _picture;
    private int _answersWaiting;
    private long _pingAt;
    private int _pingNumber;
    private volatile int _pongNumber;
    private int _bad;
    private bool _flooded;
    private int _rigSent = -1;
    private long _journalSent = -1;
    private HashSet<JournalEntry> _journalTold = [];

    public async Task Serve(CancellationToken stop)
    {
        var desk = _desk = new FrameDesk(clock, _quality) { Of = _seat.Now.Moments };
        _window = new SendWindow(clock);
        using var end = CancellationTokenSource.CreateLinkedTokenSource(stop);
        pump.Ready += OnReady;
        pump.Add(desk);
        try
        {
            var receive = Receive(desk, end.Token);
            var send = Send(desk, end.Token);
            var answer = Answers(end.Token);
            await Task.WhenAny(receive, send, answer).ConfigureAwait(false);
            await end.CancelAsync().ConfigureAwait(false);
            await Task.WhenAll(Quiet(receive), Quiet(send), Quiet(answer)).ConfigureAwait(false);
        }
        finally
        {
            pump.Ready -= OnReady;
            pump.Remove(desk);
            if (!_isGuest)
            {
                seats.Leave(_seat);
            }
        }
    }

    public void Dispose()
    {
        _encoder.Dispose();
        _something.Dispose();
    }

    private static async Task Quiet(Task task)
    {
        try
        {
            await task.ConfigureAwait(false);
        }
        catch (Exception e) when (e is OperationCanceledException or WebSocketException or IOException or ObjectDisposedException)
        {
            // The page is gone: that is how every visit ends.
        }
    }

    private void OnReady(FrameDesk desk)
    {
        if (desk == _desk)
        {
            Signal();
        }
    }

    private void Signal()
    {
        try
        {
            if (_something.CurrentCount == 0)
            {
                _something.Release();
            }
        }
        catch (Exception e) when (e is SemaphoreFullException or ObjectDisposedException)
        {
            // Already awake, or already gone.
        }
    }

    private async Task Receive(FrameDesk desk, CancellationToken stop)
    {
        var buffer = new byte[options.LongestMessage];
        while (socket.State == WebSocketState.Open)
        {
            var length = 0;
            ValueWebSocketReceiveResult got;
            do
            {
                if (length == buffer.Length)
                {
                    journal.Say("page", $"a page sent a message of more than {options.LongestMessage} bytes and was let go");
                    await Close(WebSocketCloseStatus.MessageTooBig, $"messages end at {options.LongestMessage} bytes").ConfigureAwait(false);
                    return;
                }

                got = await socket.ReceiveAsync(buffer.AsMemory(length), stop).ConfigureAwait(false);
                length += got.Count;
            }
            while (!got.EndOfMessage);

            if (got.MessageType == WebSocketMessageType.Close)
            {
                await Close(WebSocketCloseStatus.NormalClosure, "").ConfigureAwait(false);
                return;
            }

            if (!Heard(desk, buffer.AsMemory(0, length)) && ++_bad >= MostBadMessages)
            {
                await Close(WebSocketCloseStatus.InvalidPayloadData, "too many messages that make no sense").ConfigureAwait(false);
                return;
            }

            if (_flooded || _answersWaiting > MostAnswersWaiting)
            {
                await Close(WebSocketCloseStatus.PolicyViolation, "asks without reading the answers").ConfigureAwait(false);
                return;
            }
        }
    }

    private bool Heard(FrameDesk desk, ReadOnlyMemory<byte> bytes)
    {
        try
        {
            using var doc = JsonDocument.Parse(bytes, new JsonDocumentOptions { MaxDepth = 8 });
            var m = doc.RootElement;
            if (m.ValueKind != JsonValueKind.Object || !m.TryGetProperty("do", out var verb) || verb.ValueKind != JsonValueKind.String)
            {
                return false;
            }

            var what = verb.GetString()!;
            switch (what)
            {
                case "shown":
                    desk.Shown(m.TryGetProperty("n", out var n) && n.ValueKind == JsonValueKind.Number && n.TryGetUInt32(out var shown) ? shown : 0);
                    Marked(m);
                    break;
                case "pong":
                    if (m.TryGetProperty("n", out var p) && p.ValueKind == JsonValueKind.Number && p.TryGetInt32(out var ping) && ping == _pingNumber)
                    {
                        var took = clock.GetElapsedTime(_pingAt);
                        desk.RoundTrip(took.TotalMilliseconds);
                        _window!.RoundTrip(took);
                        _pongNumber = ping;
                    }

                    break;
                case "seat":
                    if (PageQuestions.SeatId(m) is not { } seat)
                    {
                        return false;
                    }

                    if (m.TryGetProperty("beside", out var beside) && beside.ValueKind == JsonValueKind.True)
                    {
                        _beside = seat;
                        LookOn(desk);
                    }
                    else
                    {
                        Sit(desk, seat);
                    }

                    break;
                case "got":
                    _window!.Got(m.TryGetProperty("bytes", out var all) && all.ValueKind == JsonValueKind.Number && all.TryGetInt64(out var total) ? total : 0);
                    Signal();
                    return true;
                case "view":
                    if (questions.ReadView(m) is not { } view)
                    {
                        return false;
                    }

                    desk.View = view;
                    break;
                case "rest":
                    desk.Paused = m.TryGetProperty("on", out var on) && on.ValueKind == JsonValueKind.True;
                    break;
                default:
                    var number = m.TryGetProperty("id", out var id) && id.ValueKind == JsonValueKind.Number && id.TryGetInt32(out var i) ? i : 0;
                    _flooded |= !_asked.Writer.TryWrite(new Asked(number, what, m.Clone(), desk.View));
                    return true;
            }

            pump.Wake();
            return true;
        }
        catch (JsonException)
        {
            return false;
        }
    }

    /// <summary>A page that was here before finds what it had.</summary>
    private void Sit(FrameDesk desk, string id)
    {
        var before = _seat;
        if (before.Id is null && !before.HasOwn)
        {
            _seat = seats.Take(id);
            if (role == DoorRole.Look)
            {
                // It may have led when this device was let in as another.
                seats.Lead(_seat, false);
            }

            seats.Leave(before);
            desk.Of = _seat.Now.Moments;
        }
    }

    /// <summary>A page's second view has before it what its first one has, as soon as that is there.</summary>
    private void LookOn(FrameDesk desk)
    {
        if (_beside is { } id && seats.Find(id) is { } seat && seat != _seat)
        {
            var before = _seat;
            _seat = seat;
            desk.Of = seat.Now.Moments;
            if (!_isGuest)
            {
                seats.Leave(before);
            }

            _isGuest = true;
        }
    }

    /// <summary>The page read the marker's level out of its own pixels.</summary>
    private void Marked(JsonElement m)
    {
        if (m.TryGetProperty("marker", out var level) && level.ValueKind == JsonValueKind.Number && level.TryGetInt32(out var l) && l is >= 0 and <= 255
            && _marker.Of(l))
        {
            (show as IMarkerWitness)?.SeenOnPage(l, _desk!.Link().RoundTripMs / 2);
        }
    }

    /// <summary>One question after another, beside the receiving: a long one must not hold up the pictures.</summary>
    private async Task Answers(CancellationToken stop)
    {
        await Task.Yield();
        await foreach (var q in _asked.Reader.ReadAllAsync(stop).ConfigureAwait(false))
        {
            var seat = _seat;
            var reply = questions.Ask(seat, role, q.What, q.Message, q.View, _desk!.CopyLast);
            _desk!.Of = seat.Now.Moments;
            _answers.Enqueue(JsonSerializer.SerializeToUtf8Bytes(new { t = "answer", id = q.Id, reply.Ok, reply.Text, reply.Data }, LiveJson.Options));
            Interlocked.Increment(ref _answersWaiting);
            Signal();
        }
    }

    private async Task Send(FrameDesk desk, CancellationToken stop)
    {
        var (stateAt, more) = (0L, true);
        while (socket.State == WebSocketState.Open)
        {
            if (!more)
            {
                await _something.WaitAsync(TimeSpan.FromMilliseconds(50), stop).ConfigureAwait(false);
            }

            while (_answers.TryDequeue(out var answer))
            {
                Interlocked.Decrement(ref _answersWaiting);
                await Push(answer, WebSocketMessageType.Text, stop).ConfigureAwait(false);
            }

            if (stateAt == 0 || clock.GetElapsedTime(stateAt) >= (_pongNumber == _pingNumber ? StateEvery : StateAnyway))
            {
                stateAt = clock.GetTimestamp();
                await SendState(desk, stop).ConfigureAwait(false);
            }

            more = await SendPicture(desk, stop).ConfigureAwait(false);
        }
    }

    /// <summary>Sends what there is room for of the picture under way, or of the next one; whether there is room for more.</summary>
    private async Task<bool> SendPicture(FrameDesk desk, CancellationToken stop)
    {
        var room = _window!.Room;
        if (room == 0 || (_picture is null && !TryPack(desk)))
        {
            return false;
        }

        var bytes = _picture!.Next(room);
        _picture = _picture.IsSent ? null : _picture;
        _window.Sent(bytes.Length);
        await Push(bytes, WebSocketMessageType.Binary, stop).ConfigureAwait(false);
        return _picture is not null;
    }

    private bool TryPack(FrameDesk desk)
    {
        if (!desk.TryTake(out var picture, out var rung, out var number))
        {
            return false;
        }

        var from = clock.GetTimestamp();
        var bytes = _encoder.Encode(picture, rung);
        var age = picture.NewestArrival == 0 ? -1 : (float)clock.GetElapsedTime(picture.NewestArrival).TotalMilliseconds;
        new FrameHeader(rung.Format, picture.Width, picture.Height, picture.Marker, number, (float)picture.ShowSeconds, age,
            picture.DrawMilliseconds, (float)clock.GetElapsedTime(from).TotalMilliseconds, _quality.Rung).Write(bytes.Span);
        desk.SentOff(number, picture);
        pump.Wake();
        _picture = new SlicedPicture(bytes, number);
        return true;
    }

    private async Task SendState(FrameDesk desk, CancellationToken stop)
    {
        var rig = show.Rig;
        if (rig.Version != _rigSent)
        {
            _rigSent = rig.Version;
            await Push(JsonSerializer.SerializeToUtf8Bytes(new { t = "rig", rig }, LiveJson.Options), WebSocketMessageType.Text, stop).ConfigureAwait(false);
        }

        var count = journal.Count;
        if (count != _journalSent)
        {
            _journalSent = count;
            var newest = journal.Newest(40);
            var entries = newest.Where(e => !_journalTold.Contains(e));
            await Push(JsonSerializer.SerializeToUtf8Bytes(new { t = "journal", entries }, LiveJson.Options), WebSocketMessageType.Text,
                stop).ConfigureAwait(false);
            _journalTold = [.. newest];
        }

        LookOn(desk);
        var seat = _seat;
        var now = seat.Now.State();
        desk.Of = seat.Now.Moments;
        desk.Follows(now.Source);
        var stands = seats.StateOf(seat) with { LooksOnly = role == DoorRole.Look };
        await Push(_told.Next(new { now, link = desk.Link(), picture = pump.State, seat = stands }), WebSocketMessageType.Text, stop).ConfigureAwait(false);
        _pingAt = clock.GetTimestamp();
        _pingNumber++;
        await Push(JsonSerializer.SerializeToUtf8Bytes(new { t = "ping", n = _pingNumber }, LiveJson.Options), WebSocketMessageType.Text,
            stop).ConfigureAwait(false);
    }

    private async Task Push(ReadOnlyMemory<byte> bytes, WebSocketMessageType type, CancellationToken stop)
    {
        using var patience = CancellationTokenSource.CreateLinkedTokenSource(stop);
        patience.CancelAfter(options.SendPatience);
        try
        {
            await socket.SendAsync(bytes, type, endOfMessage: true, patience.Token).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (!stop.IsCancellationRequested)
        {
            journal.Say("page", $"a page took nothing for {options.SendPatience.TotalSeconds:0.#} s and was let go");
            socket.Abort();
            throw;
        }
    }

    private async Task Close(WebSocketCloseStatus status, string why)
    {
        using var patience = new CancellationTokenSource(TimeSpan.FromSeconds(2));
        await Quiet(socket.CloseOutputAsync(status, why, patience.Token)).ConfigureAwait(false);
    }

    private readonly record struct Asked(int Id, string What, JsonElement Message, Viewpoint View);
}
