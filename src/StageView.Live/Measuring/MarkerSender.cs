using System.Net;
using System.Net.Sockets;
using StageView.Live.Terms;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.Live.Measuring;

/// <summary>
/// Sends a level that counts up, over a real socket to this machine alone, and remembers when: where the level is seen
/// in pixels for the first time, the difference is the whole delay. At the end the stream is ended as a source ends it (E1.31-2018 §6.2.6).
/// </summary>
internal sealed class MarkerSender : IDisposable
{
    private static readonly TimeSpan Every = TimeSpan.FromMilliseconds(130);

    /// <summary>Before every so many levels there is time to rest, so that the fine picture of a state at rest is under way when the level comes.</summary>
    private const int RestBefore = 16;

    private static readonly TimeSpan Rest = TimeSpan.FromSeconds(1.5);
    private readonly TimeProvider _clock;
    private readonly Socket _socket = new(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
    private readonly IPEndPoint _to;
    private readonly UniverseNumber _universe;
    private readonly Cid _cid = Cid.From(Guid.NewGuid());
    private readonly long[] _sentAt = new long[256];
    private readonly FirstSight _inWindow = new();
    private readonly LatencyWindow _window = new();
    private readonly LatencyWindow _page = new();
    private readonly LatencyWindow _windowFromRest = new();
    private readonly LatencyWindow _pageFromRest = new();
    private readonly Lock _gate = new();
    private readonly ITimer _timer;
    private int _level;
    private int _seen;
    private bool _ended;

    public MarkerSender(int universe, int port, TimeProvider clock)
    {
        _clock = clock;
        _universe = new UniverseNumber(universe);
        _to = new IPEndPoint(IPAddress.Loopback, port);
        _timer = clock.CreateTimer(_ => Next(), null, Timeout.InfiniteTimeSpan, Timeout.InfiniteTimeSpan);
        _timer.Change(Every, Timeout.InfiniteTimeSpan);
    }

    /// <summary>Takes a sighting; of a page's only the first of a level is to be told.</summary>
    public void Seen(int level, long at, double agoMs, bool window)
    {
        lock (_gate)
        {
            if (level is < 0 or > 255 || _sentAt[level] == 0 || (window && !_inWindow.Of(level)))
            {
                return;
            }

            var ms = _clock.GetElapsedTime(_sentAt[level], at).TotalMilliseconds - agoMs;
            // A level comes round again after 55 s; what is older than 20 s belongs to the round before.
            if (ms is > 0 and < 20_000)
            {
                var rested = IsFromRest(level);
                (window ? (rested ? _windowFromRest : _window) : rested ? _pageFromRest : _page).Add(ms);
                _seen++;
            }
        }
    }

    public MarkerState State(int level)
    {
        lock (_gate)
        {
            return new MarkerState(level, _window.Median, _page.Median, _seen)
            {
                FromRestToWindowMs = _windowFromRest.Median, FromRestToPageMs = _pageFromRest.Median,
            };
        }
    }

    public void Dispose()
    {
        _timer.Dispose();
        lock (_gate)
        {
            for (var i = 0; i < E131Numbers.TerminationPackets && !_ended; i++)
            {
                Send(terminated: true);
            }

            _ended = true;
            _socket.Dispose();
        }
    }

    private static bool IsFromRest(int level) => level % RestBefore == 0;

    private void Next()
    {
        Send(terminated: false);
        lock (_gate)
        {
            if (!_ended)
            {
                _timer.Change(IsFromRest(_level + 1) ? Rest : Every, Timeout.InfiniteTimeSpan);
            }
        }
    }

    private void Send(bool terminated)
    {
        Span<byte> levels = stackalloc byte[512];
        Span<byte> packet = stackalloc byte[638];
        lock (_gate)
        {
            if (_ended)
            {
                return;
            }

            _level = (_level + 1) & 255;
            levels[0] = (byte)_level;
            var data = new E131DataPacket
            {
                Cid = _cid,
                SourceName = "StageView marker"u8,
                Priority = E131Numbers.DefaultPriority,
                Universe = _universe,
                Sequence = (byte)_level,
                Terminated = terminated,
                Levels = levels,
            };
            var length = E131Writer.Write(packet, data);
            try
            {
                _sentAt[_level] = _clock.GetTimestamp();
                _socket.SendTo(packet[..length], _to);
            }
            catch (SocketException)
            {
                // The next one may get through.
            }
        }
    }
}
