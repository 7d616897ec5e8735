using System.Globalization;
using System.Net;
using System.Net.Sockets;
using System.Text;
using StageView.Wire.Names;
using StageView.Wire.Sockets;

namespace StageView.Wire.Exchange;

/// <summary>
/// A station of an MVR-xchange group in TCP mode (DIN SPEC 15801): offers itself by multicast DNS, joins the stations that it finds, hears of their commits,
/// fetches a file when told to, and hands out its own. It never takes a file by itself, and follows nobody to another group.
/// </summary>
public sealed class ExchangeStation : IAsyncDisposable
{
    private const string Provider = "StageView";
    private static readonly TimeSpan ConnectTime = TimeSpan.FromSeconds(5);
    private static readonly TimeSpan GoodbyeTime = TimeSpan.FromSeconds(2);

    /// <summary>How often a station that could not be spoken to is tried again.</summary>
    private static readonly TimeSpan TryAgain = TimeSpan.FromSeconds(10);

    private readonly ExchangeOptions _options;
    private readonly TimeProvider _clock;
    private readonly Socket _listener;
    private readonly StationBook _book;
    private readonly CancellationTokenSource _stop = new();
    private readonly Lock _gate = new();
    private readonly List<(CommitLine Line, byte[] File)> _own = [];
    private readonly SemaphoreSlim _finding = new(1);
    private MulticastNames? _names;
    private Task _work = Task.CompletedTask;

    private ExchangeStation(ExchangeOptions options, TimeProvider clock)
    {
        _options = options;
        _clock = clock;
        _book = new StationBook(options.Station);
        _listener = new Socket(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp);
        try
        {
            _listener.Bind(new IPEndPoint(options.Address, options.Port));
            _listener.Listen(ExchangeNumbers.MostConnections);
        }
        catch (SocketException e)
        {
            _listener.Dispose();
            var where = string.Create(CultureInfo.InvariantCulture, $"{options.Address}, TCP port {options.Port}");
            throw new ListenException($"can't listen at {where}: {e.Message}; is it an address of this machine?", e);
        }
    }

    /// <summary>The other stations.</summary>
    public IReadOnlyList<StationSeen> Stations => _book.Stations;

    /// <summary>What the others have, in the order that it was heard of.</summary>
    public IReadOnlyList<CommitSeen> Commits => _book.Commits;

    public Guid Id => _options.Station;

    public string Group => _options.Group;

    /// <summary>Where it is listened for the others.</summary>
    public IPEndPoint Address => (IPEndPoint)_listener.LocalEndPoint!;

    /// <summary>Told when stations or commits have become others.</summary>
    public event Action? Changed;

    /// <summary>Told of each commit that is new, once it is in <see cref="Commits"/>.</summary>
    public event Action<CommitSeen>? Committed;

    /// <summary>Told what went wrong with others, a line each.</summary>
    public event Action<string>? Noted;

    /// <summary>Joins.</summary>
    /// <exception cref="ListenException">The address isn't ours, a port is taken, or the name is.</exception>
    public static async Task<ExchangeStation> Join(ExchangeOptions options, TimeProvider clock, CancellationToken stop)
    {
        ArgumentNullException.ThrowIfNull(options);
        ArgumentNullException.ThrowIfNull(clock);
        if (options.Address.AddressFamily != AddressFamily.InterNetwork || options.Address.Equals(IPAddress.Any))
        {
            throw new ListenException($"{options.Address}: name one IPv4 address of this machine");
        }

        if (Encoding.UTF8.GetByteCount(options.Group) is < 1 or > 60)
        {
            throw new ListenException("a group's name has 1 to 60 bytes");
        }

        var station = new ExchangeStation(options, clock);
        try
        {
            await station.Start(stop).ConfigureAwait(false);
            return station;
        }
        catch
        {
            await station.DisposeAsync().ConfigureAwait(false);
            throw;
        }
    }

    /// <summary>Tells the group of a file, which stations may then ask for. The newest few are kept.</summary>
    public async Task<CommitLine> Commit(byte[] file, string comment, string fileName, CancellationToken stop)
    {
        ArgumentNullException.ThrowIfNull(file);
        var line = new CommitLine(Guid.NewGuid(), Id, file.Length, comment, fileName, []);
        lock (_gate)
        {
            _own.Add((line, file));
            if (_own.Count > ExchangeNumbers.MostOwnCommits)
            {
                _own.RemoveAt(0);
            }
        }

        var told = Stations.Select(s => Tell(s, new ExchangeMessage { Type = ExchangeMessage.Commit, Told = line }, stop));
        await Task.WhenAll(told).ConfigureAwait(false);
        return line;
    }

    /// <summary>Fetches a commit's file.</summary>
    /// <param name="commit">Out of <see cref="Commits"/>.</param>
    /// <param name="to">Where it is written.</param>
    /// <param name="stop">Gives up.</param>
    /// <exception cref="ExchangeException">It can't be had; the message says why.</exception>
    public async Task Fetch(CommitSeen commit, Stream to, CancellationToken stop)
    {
        ArgumentNullException.ThrowIfNull(commit);
        ArgumentNullException.ThrowIfNull(to);
        var from = _book.Of(commit.Line.Station, IPAddress.None) ?? throw new ExchangeException($"{commit.StationName} is not in the group any more");
        var stated = commit.Line.Bytes;
        await Speak(from, async stream =>
        {
            var request = new ExchangeMessage { Type = ExchangeMessage.Request, File = commit.Line.File, Station = from.Station };
            await stream.Write(request, stop).ConfigureAwait(false);
            var (message, bytes) = await stream.Read(to, stated > 0 ? stated : ExchangeNumbers.MostFileBytes, stop).ConfigureAwait(false);
            if (message is not null)
            {
                throw new ExchangeException($"{from.Name} says: {(message.Words.Length > 0 ? message.Words : "no")}");
            }

            if (bytes == 0 || (stated > 0 && bytes != stated))
            {
                throw new ExchangeException($"{from.Name} sent {bytes} bytes, where the commit says {stated}");
            }
        }, stop).ConfigureAwait(false);
    }

    public async ValueTask DisposeAsync()
    {
        using (var soon = new CancellationTokenSource(GoodbyeTime, _clock))
        {
            await Task.WhenAll(Stations.Where(s => s.Trouble.Length == 0)
                .Select(s => Tell(s, new ExchangeMessage { Type = ExchangeMessage.Leave, Station = Id }, soon.Token))).ConfigureAwait(false);
        }

        if (_names is { } names)
        {
            await names.DisposeAsync().ConfigureAwait(false);
        }

        await _stop.CancelAsync().ConfigureAwait(false);
        _listener.Dispose();
        try
        {
            await _work.ConfigureAwait(false);
        }
        catch (OperationCanceledException)
        {
        }
    }

    private async Task Start(CancellationToken stop)
    {
        var own = Id.ToString("N")[..8];
        _names = new MulticastNames(
            new ServiceOffer(
                ExchangeNumbers.Service, Group, $"{DnsName.Cut(_options.StationName, 50)} {own}", $"stageview-{own}", _options.Address, Address.Port,
                ["StationName=" + _options.StationName, "StationUUID=" + Id]),
            _clock, _options.NamesPort);
        _names.Changed += () => _ = Find();
        var door = new ExchangeDoor(_listener, Answer, t => Noted?.Invoke(t), _clock);
        _work = Task.WhenAll(Task.Run(() => door.Serve(_stop.Token), CancellationToken.None), Task.Run(FindAgain, CancellationToken.None));
        await _names.Start(stop).ConfigureAwait(false);
    }

    private async Task FindAgain()
    {
        while (!_stop.IsCancellationRequested)
        {
            await Task.Delay(TryAgain, _clock, _stop.Token).ConfigureAwait(false);
            await Find().ConfigureAwait(false);
        }
    }

    /// <summary>Takes the stations that were found, and joins those that are new.</summary>
    private async Task Find()
    {
        try
        {
            await _finding.WaitAsync(_stop.Token).ConfigureAwait(false);
        }
        catch (Exception e) when (e is OperationCanceledException or ObjectDisposedException)
        {
            return;
        }

        try
        {
            var found = _book.Found(_names!.Seen);
            await Task.WhenAll(found.Select(JoinOne)).ConfigureAwait(false);
        }
        finally
        {
            _finding.Release();
        }

        Changed?.Invoke();
    }

    private async Task JoinOne(StationSeen station)
    {
        if (await Tell(station, Self(null), _stop.Token).ConfigureAwait(false) is { } answer)
        {
            Take(_book.Joined(station.Station, answer));
        }
    }

    /// <summary>Sends a message and reads its answer; where that fails, it is noted.</summary>
    private async Task<ExchangeMessage?> Tell(StationSeen station, ExchangeMessage message, CancellationToken stop)
    {
        try
        {
            ExchangeMessage? answer = null;
            await Speak(station, async stream =>
            {
                await stream.Write(message, stop).ConfigureAwait(false);
                answer = await stream.Read(stop).ConfigureAwait(false);
            }, stop).ConfigureAwait(false);
            if (answer is null || answer.Type != message.Type || answer.Ok != true)
            {
                throw new ExchangeException(answer is { Words.Length: > 0 } ? $"says: {answer.Words}" : $"gave no good answer to {message.Type}");
            }

            return answer;
        }
        catch (ExchangeException e)
        {
            if (!stop.IsCancellationRequested)
            {
                _book.Troubled(station.Station, e.Message);
                Noted?.Invoke($"{station.Name} ({station.Address}): {e.Message}");
            }

            return null;
        }
        catch (OperationCanceledException)
        {
            return null;
        }
    }

    /// <exception cref="ExchangeException">It can't be reached or understood.</exception>
    private async Task Speak(StationSeen station, Func<ExchangeStream, Task> words, CancellationToken stop)
    {
        using var socket = new Socket(AddressFamily.InterNetwork, SocketType.Stream, ProtocolType.Tcp);
        using var soon = new CancellationTokenSource(ConnectTime, _clock);
        using var both = CancellationTokenSource.CreateLinkedTokenSource(stop, soon.Token);
        try
        {
            // From the address that was named: what is on another interface is not spoken to.
            socket.Bind(new IPEndPoint(_options.Address, 0));
            await socket.ConnectAsync(station.Address, station.Port, both.Token).ConfigureAwait(false);
            await using var connection = new NetworkStream(socket);
            await words(new ExchangeStream(connection, _clock)).ConfigureAwait(false);
        }
        catch (OperationCanceledException) when (!stop.IsCancellationRequested)
        {
            throw new ExchangeException("took too long");
        }
        catch (Exception e) when (e is SocketException or IOException)
        {
            throw new ExchangeException("can't be reached: " + e.Message, e);
        }
    }

    private async Task Answer(ExchangeMessage message, IPAddress from, ExchangeStream stream)
    {
        if (message.Ok is not null)
        {
            return;
        }

        switch (message.Type)
        {
            case ExchangeMessage.Join:
                // A station is spoken to where multicast DNS says that it is, never where a message says so.
                if (_book.Of(message.Station, from) is { } joining)
                {
                    Take(_book.Joined(joining.Station, message));
                }

                await stream.Write(Self(true), _stop.Token).ConfigureAwait(false);
                break;
            case ExchangeMessage.Leave:
                if (_book.Of(message.Station, from) is { } leaving && leaving.Address.Equals(from) && _book.Left(leaving.Station) is not null)
                {
                    Changed?.Invoke();
                }

                await Say(stream, message.Type, true, "").ConfigureAwait(false);
                break;
            case ExchangeMessage.Commit when message.Told is { } told:
                var by = _book.Of(told.Station, from) is { } known && known.Address.Equals(from) ? known : null;
                if (by is not null && _book.Told(told with { Station = by.Station }) is { } seen)
                {
                    Take([seen]);
                }

                await Say(stream, message.Type, by is not null,
                    by is null ? "no station of that identity and address is known here" : "").ConfigureAwait(false);
                break;
            case ExchangeMessage.Request:
                byte[]? file;
                lock (_gate)
                {
                    file = _own.LastOrDefault(o => message.File == Guid.Empty || o.Line.File == message.File).File;
                }

                await (file is not null ? stream.Write(ExchangeContent.File, file, _stop.Token)
                    : Say(stream, message.Type, false, "that file is not here")).ConfigureAwait(false);
                break;
            case ExchangeMessage.NewHost:
                Noted?.Invoke($"{from} asks to go to another {(message.ServiceUrl.Length > 0 ? "address" : "group")}: not followed");
                await Say(stream, message.Type, false, "this station stays in the group that its user chose").ConfigureAwait(false);
                break;
            default:
                await Say(stream, message.Type, false, "this message is not known here").ConfigureAwait(false);
                break;
        }
    }

    private void Take(IReadOnlyList<CommitSeen> commits)
    {
        Changed?.Invoke();
        foreach (var c in commits)
        {
            Committed?.Invoke(c);
        }
    }

    private Task Say(ExchangeStream stream, string type, bool ok, string words) =>
        stream.Write(new ExchangeMessage { Type = type, Ok = ok, Words = words }, _stop.Token);

    private ExchangeMessage Self(bool? ok)
    {
        lock (_gate)
        {
            return new ExchangeMessage
            {
                Type = ExchangeMessage.Join, Ok = ok, Provider = Provider, StationName = _options.StationName, Station = Id,
                Commits = [.. _own.Select(o => o.Line)],
            };
        }
    }
}
