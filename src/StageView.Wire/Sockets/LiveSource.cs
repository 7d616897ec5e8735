using System.Globalization;
using System.Net;
using System.Net.Sockets;
using StageView.Wire.Datagrams;
using StageView.Wire.Levels;
using StageView.Wire.Universes;

namespace StageView.Wire.Sockets;

/// <summary>
/// Listens for E1.31 and Art-Net and feeds a merger from one thread of its own, until it is disposed or its token is cancelled.
/// Show time begins when listening begins.
/// </summary>
public sealed class LiveSource : IDisposable, IDatagramTaker
{
    private const int IdleMilliseconds = 100;

    // A source that names another synchronisation address with each packet must not keep us busy with joins.
    private static readonly TimeSpan s_joinEvery = TimeSpan.FromMilliseconds(100);
    private static readonly TimeSpan s_askForSharing = TimeSpan.FromSeconds(2);
    private readonly Lock _gate = new();
    private readonly SocketSet _sockets;
    private readonly IReceiver _receiver;
    private readonly UniverseMerger _merger;
    private readonly TimeProvider _time;
    private readonly long _start;
    private readonly CancellationTokenSource _stop;
    private readonly Thread _thread;
    private readonly List<IDatagramTap> _taps = [];
    private SourceAddress[] _locals = [];
    private readonly PollAnswerer? _polls;
    private readonly Func<SourceAddress, Socket?> _answerFrom;
    private TimeSpan _batchAt;
    private TimeSpan _nextJoin;
    private IReadOnlyList<string> _shared = [];
    private TimeSpan? _sharedAt;
    private readonly bool _joinOffered;
    private int _syncUse;
    private int _watched = -1;
    private int _disposed;
    private Exception? _failure;

    private LiveSource(WireSettings settings, ListenOptions options, ILevelsSink? sink, TimeProvider time, CancellationToken stop)
    {
        _merger = new UniverseMerger(settings, sink);
        _merger.Reserve(options.Universes);
        _sockets = new SocketSet(options);
        _receiver = OperatingSystem.IsLinux() && !options.Portable ? new LinuxReceiver() : new PortableReceiver();
        _joinOffered = options.JoinOffered;
        _answerFrom = _sockets.AnswerFrom;
        _time = time;
        _polls = options.AnswerPolls
            ? new PollAnswerer([.. options.Universes.Select(u => u.Value - settings.ArtNet.Offset)], settings.ArtNet, (ushort)options.ArtNetPort, _merger,
                new Random())
            : null;
        _start = time.GetTimestamp();
        _stop = CancellationTokenSource.CreateLinkedTokenSource(stop);
        _thread = new Thread(Run) { IsBackground = true, Name = "wire" };
        _thread.Start();
    }

    /// <summary>Show time now.</summary>
    public TimeSpan Now => _time.GetElapsedTime(_start);

    /// <summary>What the user should know of the sockets: buffers or groups that the system refused.</summary>
    public IReadOnlyList<string> Notes => _sockets.Notes;

    /// <summary>False once the listening has ended, by itself or because it was disposed.</summary>
    public bool IsListening => _thread.IsAlive;

    /// <summary>Datagrams received.</summary>
    public long Received { get; private set; }

    /// <summary>Begins to listen.</summary>
    /// <param name="settings">How packets become levels.</param>
    /// <param name="universes">Universes whose multicast groups are joined.</param>
    /// <param name="addresses">Local addresses; loopback alone when empty.</param>
    /// <param name="sink">Is told merged levels, from the listening thread.</param>
    /// <param name="time">The clock.</param>
    /// <param name="stop">Ends the listening.</param>
    /// <exception cref="ListenException">An address isn't this machine's, or a port is held by another program.</exception>
    public static LiveSource Listen(
        WireSettings settings,
        IReadOnlyCollection<UniverseNumber> universes,
        IReadOnlyCollection<string> addresses,
        ILevelsSink? sink,
        TimeProvider time,
        CancellationToken stop = default)
    {
        ArgumentNullException.ThrowIfNull(addresses);
        return Listen(settings, new ListenOptions { Universes = universes, Addresses = addresses.Count == 0 ? [ListenOptions.Loopback] : addresses }, sink,
            time, stop);
    }

    /// <summary>The same with all options.</summary>
    public static LiveSource Listen(WireSettings settings, ListenOptions options, ILevelsSink? sink, TimeProvider time, CancellationToken stop = default)
    {
        ArgumentNullException.ThrowIfNull(options);
        ArgumentNullException.ThrowIfNull(time);
        return new LiveSource(settings, options, sink, time, stop);
    }

    /// <summary>Datagrams that the kernel dropped for want of buffer, by its own count; -1 where the system doesn't tell.</summary>
    public long KernelDrops
    {
        get
        {
            lock (_gate)
            {
                return _sockets.KernelDrops();
            }
        }
    }

    /// <summary>
    /// Our addresses and ports on which another program listens, too, so that what is sent to that address alone reaches only one of the two. Asked
    /// of the system every other second; empty where it doesn't tell.
    /// </summary>
    public IReadOnlyList<string> SharedPorts
    {
        get
        {
            lock (_gate)
            {
                if (_sharedAt is null || Now - _sharedAt >= s_askForSharing)
                {
                    (_shared, _sharedAt) = (_sockets.SharedPorts(), Now);
                }

                return _shared;
            }
        }
    }

    /// <summary>Uses the merger between batches: the listening waits meanwhile. Don't keep what it hands out.</summary>
    public T Read<T>(Func<UniverseMerger, T> read)
    {
        ArgumentNullException.ThrowIfNull(read);
        lock (_gate)
        {
            return read(_merger);
        }
    }

    /// <summary>Joins the groups of universes that are patched now and leaves those that no longer are.</summary>
    public void Follow(IReadOnlyCollection<UniverseNumber> universes)
    {
        lock (_gate)
        {
            _merger.Reserve(universes);
            _sockets.Follow(universes);
        }
    }

    /// <summary>Lets someone see every datagram as it arrives, before it is merged.</summary>
    public void Tap(IDatagramTap tap)
    {
        lock (_gate)
        {
            _taps.Add(tap);
        }
    }

    /// <summary>Stops listening and waits until the last datagram was handed on; a second time does nothing.</summary>
    public void Dispose()
    {
        if (Interlocked.Exchange(ref _disposed, 1) != 0)
        {
            return;
        }

        _stop.Cancel();
        if (_thread != Thread.CurrentThread)
        {
            _thread.Join();
        }

        _stop.Dispose();
        if (_failure is { } failure)
        {
            throw new ListenException(string.Create(CultureInfo.InvariantCulture, $"listening ended by itself: {failure.Message}"), failure);
        }
    }

    void IDatagramTaker.BeginBatch()
    {
        _gate.Enter();
        _batchAt = Now;
    }

    void IDatagramTaker.Take(SourceAddress from, int socket, ReadOnlySpan<byte> payload)
    {
        Received++;
        foreach (var tap in _taps)
        {
            tap.OnDatagram(_batchAt, from, _locals[socket], payload);
        }

        _polls?.Take(_batchAt, from, _locals[socket], payload);
        _merger.Receive(_batchAt, from, payload);
    }

    void IDatagramTaker.EndBatch()
    {
        try
        {
            foreach (var tap in _taps)
            {
                tap.OnBatchEnd();
            }
        }
        finally
        {
            _gate.Exit();
        }
    }

    void IDatagramTaker.Idle()
    {
        lock (_gate)
        {
            _merger.Advance(Now);
        }
    }

    private void Run()
    {
        try
        {
            while (!_stop.IsCancellationRequested)
            {
                lock (_gate)
                {
                    if (_syncUse != _merger.SyncUse && Now >= _nextJoin)
                    {
                        _syncUse = _merger.SyncUse;
                        _nextJoin = Now + s_joinEvery;
                        _sockets.FollowHeard([.. _merger.SyncAddresses(), .. _joinOffered ? _merger.Offered() : []]);
                    }

                    if (_watched != _sockets.Version)
                    {
                        _watched = _sockets.Version;
                        _receiver.Watch(_sockets.Sockets);
                        _locals = [.. _sockets.Sockets.Select(x => SourceAddress.From((IPEndPoint)x.LocalEndPoint!))];
                    }
                }

                _receiver.ReceiveOnce(this, IdleMilliseconds);
                if (_polls is not null)
                {
                    lock (_gate)
                    {
                        _polls.Send(Now, _answerFrom);
                    }
                }
            }
        }
        catch (Exception e)
        {
            // Kept for the owner, who is told when it ends the listening; a thread must not take the process down.
            _failure = e;
        }
        finally
        {
            _receiver.Dispose();
            _sockets.Dispose();
        }
    }
}
