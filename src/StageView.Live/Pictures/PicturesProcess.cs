using System.Diagnostics;
using System.Text;
using System.Text.Json;
using StageView.Live.Terms;

namespace StageView.Live.Pictures;

/// <summary>
/// Draws in a process of its own: whatever a graphics driver or a display does to it, this process goes on listening,
/// recording and serving. Also feeds that process's window, if it has one.
/// </summary>
internal sealed partial class PicturesProcess : IDrawer
{
    /// <summary>So often it is looked whether a fine picture is still of the newest state.</summary>
    private static readonly TimeSpan Glance = TimeSpan.FromMilliseconds(40);

    private readonly IMomentFeed _feed;
    private readonly Action<string, string> _journal;
    private readonly Process _process;
    private readonly PictureWire _wire;
    private readonly Thread _reader;
    private readonly Lock _sending = new();
    private readonly ManualResetEventSlim _hello = new();
    private readonly AutoResetEvent _drawn = new(false);
    private readonly AutoResetEvent _taken = new(true);
    private readonly StringBuilder _lastWords = new();
    private readonly DrawingPatience _patience;
    private readonly TimeSpan _mostSilence;
    private readonly DrawingPatience.Wait _picture;
    private readonly DrawingPatience.Wait _taking;
    private readonly ITimer _watchdog;
    private volatile bool _gaveUp;
    private Thread? _windowFeed;
    private byte[] _moment = [];
    private byte[] _glanced = [];
    private int _tablesSent = -1;
    private int _number;
    private Picture? _into;
    private volatile bool _givenUp;
    private volatile bool _ended;
    private volatile object? _standing;
    private string? _trouble;
    private readonly WindowTitle _title;

    private PicturesProcess(IMomentFeed feed, ProcessStartInfo start, Action<string, string> journal, DrawingPatience patience)
    {
        (_patience, _mostSilence) = (patience, patience.Now);
        (_picture, _taking) = (patience.Expect(), patience.Expect());
        _feed = feed;
        _title = new WindowTitle(feed, TimeProvider.System);
        _journal = journal;
        start.RedirectStandardInput = start.RedirectStandardOutput = start.RedirectStandardError = true;
        start.UseShellExecute = false;
        _process = Process.Start(start) ?? throw new InvalidOperationException("the drawing process did not start");
        _process.ErrorDataReceived += (_, e) => Overheard(e.Data);
        _process.BeginErrorReadLine();
        _wire = new PictureWire(_process.StandardOutput.BaseStream, _process.StandardInput.BaseStream);
        _reader = new Thread(Read) { IsBackground = true, Name = "pictures from the drawing process" };
        _reader.Start();
        _watchdog = patience.Clock.CreateTimer(_ => Watch(), null, _mostSilence / 4, _mostSilence / 4);
    }

    public string Renderer { get; private set; } = "";

    public bool HasWindow { get; private set; }

    public bool WindowWasClosed { get; private set; }

    public bool IsSoftware { get; private set; }

    public WindowStanding? Standing => (WindowStanding?)_standing;

    public int ProcessId => _process.Id;

    /// <param name="feed">Gives the moments.</param>
    /// <param name="window">Whether a window is wanted.</param>
    /// <param name="journal">Is told kind and text of what happens.</param>
    /// <param name="standing">Where the window of the process before it stood; this one's goes there.</param>
    /// <param name="patience">For how long a process may be silent; shared with those before and after it, and half a minute when left out.</param>
    /// <param name="drawing">Another program that draws; this one, as <c>live-pictures</c>, when left out.</param>
    /// <param name="indirect">Whether pictures show what matt surfaces throw on each other.</param>
    /// <exception cref="InvalidOperationException">It can't draw here; the message says why and what to install.</exception>
    public static PicturesProcess Start(
        IMomentFeed feed, bool window, Action<string, string> journal, DrawingPatience? patience = null, WindowStanding? standing = null,
        ProcessStartInfo? drawing = null, bool indirect = false) =>
        Begin(
            new PicturesProcess(feed, drawing ?? OwnCommand(window, indirect), journal, patience ?? new DrawingPatience(TimeProvider.System))
            {
                _standing = standing,
            },
            standing);

    private static PicturesProcess Begin(PicturesProcess p, WindowStanding? standing)
    {
        var feed = p._feed;
        try
        {
            if (!p._hello.Wait(p._mostSilence) || p._ended)
            {
                if (!p._ended)
                {
                    p._patience.RanOut();
                }

                throw new InvalidOperationException(p.WhyEnded("the drawing process did not answer"));
            }

            if (p.HasWindow && standing is { } stood)
            {
                p._wire.Send(PictureWord.Stand, PlainBytes.Of(stood));
            }

            p._wire.Send(PictureWord.Cameras, JsonSerializer.SerializeToUtf8Bytes(feed.Cameras, LiveJson.Options));
            p.TellTitle();
            if (p.HasWindow)
            {
                p._windowFeed = new Thread(p.FeedWindow) { IsBackground = true, Name = "moments for the window" };
                p._windowFeed.Start();
            }

            return p;
        }
        catch
        {
            p.Dispose();
            throw;
        }
    }

    public DrawOutcome Draw(Viewpoint view, ulong unless, ulong onlyIf, Picture into, IDrawWatch? watch = null, IMoments? of = null)
    {
        _picture.Begin();
        try
        {
            return DrawNow(of ?? _feed, view, unless, onlyIf, into, watch);
        }
        finally
        {
            _picture.Leave();
        }
    }

    public void Dispose()
    {
        _ended = true;
        _watchdog.Dispose();
        try
        {
            _process.StandardInput.Close();
            if (!_process.WaitForExit(1500))
            {
                _process.Kill();
            }
        }
        catch (Exception e) when (e is IOException or InvalidOperationException)
        {
            // Gone already.
        }

        _reader.Join(2000);
        _windowFeed?.Join(2000);
        _process.Dispose();
    }

    private DrawOutcome DrawNow(IMoments of, Viewpoint view, ulong unless, ulong onlyIf, Picture into, IDrawWatch? watch)
    {
        MomentHead head;
        lock (_sending)
        {
            var length = of.Newest(ref _moment, out head);
            var now = head;
            var unchanged = head.Fingerprint == unless || head.Essence == unless;
            if (unchanged || (onlyIf != 0 && head.Essence != onlyIf))
            {
                ThrowIfEnded();
                return unchanged ? DrawOutcome.Unchanged : DrawOutcome.Moved;
            }

            into.NewestArrival = head.Arrival;
            into.ShowSeconds = head.ShowSeconds;
            into.Marker = head.Marker;
            _into = into;
            _givenUp = false;
            var number = ++_number;
            Send(() =>
            {
                SendMoment(of, now, _moment.AsSpan(0, length));
                _wire.Send(PictureWord.Draw, PlainBytes.Of(DrawOrder.Of(number, view)));
            });
        }

        var over = onlyIf == 0;
        while (!_drawn.WaitOne(over ? 200 : (int)Glance.TotalMilliseconds))
        {
            ThrowIfEnded();
            if (!over && (over = IsOver(of, head, watch)))
            {
                Send(() => _wire.Send(PictureWord.GiveUp, PlainBytes.Of(_number)));
            }
        }

        ThrowIfEnded();
        if (_givenUp)
        {
            return DrawOutcome.Moved;
        }

        // Only what was drawn counts as seen: after a failure the same state must be drawn again.
        into.Fingerprint = head.Fingerprint;
        into.Essence = head.Essence;
        return DrawOutcome.Drawn;
    }

    /// <summary>Whether a fine picture under way is overtaken.</summary>
    private bool IsOver(IMoments of, in MomentHead drawn, IDrawWatch? watch)
    {
        of.Newest(ref _glanced, out var now);
        if (now.Essence != drawn.Essence || watch is { IsWanted: false })
        {
            return true;
        }

        watch?.StillSo();
        return false;
    }

    /// <summary>A driver that hangs, or a process that takes nothing more out of its pipe: only its end frees the one who waits.</summary>
    private void Watch()
    {
        if (_ended || _gaveUp || !(_picture.IsOver || _taking.IsOver))
        {
            return;
        }

        _gaveUp = true;
        _patience.RanOut();
        Quietly(_process.Kill);
    }

    /// <summary>For a process that may have ended by itself meanwhile.</summary>
    private static void Quietly(Action act)
    {
        try
        {
            act();
        }
        catch (Exception e) when (e is InvalidOperationException or System.ComponentModel.Win32Exception)
        {
            // Gone already.
        }
    }

    /// <summary>How to start this program again, to draw.</summary>
    private static ProcessStartInfo OwnCommand(bool window, bool indirect)
    {
        var host = Environment.ProcessPath ?? "dotnet";
        var name = Path.GetFileNameWithoutExtension(host);
        var itself = name.Equals("stageview", StringComparison.OrdinalIgnoreCase);
        var start = new ProcessStartInfo(itself || name.Equals("dotnet", StringComparison.OrdinalIgnoreCase) ? host : "dotnet");
        if (!itself)
        {
            start.ArgumentList.Add(Path.Combine(AppContext.BaseDirectory, "stageview.dll"));
        }

        start.ArgumentList.Add("live-pictures");
        if (window)
        {
            start.ArgumentList.Add("--window");
        }

        if (indirect)
        {
            start.ArgumentList.Add("--indirect");
        }

        return start;
    }

    private void SendMoment(IMoments of, in MomentHead head, ReadOnlySpan<byte> moment)
    {
        if (head.TablesVersion != _tablesSent)
        {
            _tablesSent = head.TablesVersion;
            _wire.Send(PictureWord.Tables, of.Tables(head.TablesVersion));
            _wire.Send(PictureWord.Cameras, JsonSerializer.SerializeToUtf8Bytes(_feed.Cameras, LiveJson.Options));
        }

        // What a page has for itself is none of the window's.
        _wire.Send(ReferenceEquals(of, _feed) ? PictureWord.Moment : PictureWord.Aside, PlainBytes.Of(head), moment);
    }

    private void Send(Action send)
    {
        try
        {
            send();
        }
        catch (Exception e) when (e is IOException or ObjectDisposedException)
        {
            _reader.Join(500);
            throw new InvalidOperationException(WhyEnded("the drawing process ended"));
        }
    }

    public void Check() => ThrowIfEnded();

    private void ThrowIfEnded()
    {
        if (_ended)
        {
            throw new InvalidOperationException(WhyEnded("the drawing process ended"));
        }
    }

    private string WhyEnded(string otherwise)
    {
        if (WindowWasClosed)
        {
            return "the window was closed; the page goes on";
        }

        if (_gaveUp)
        {
            return $"the drawing process gave no sign of life for {_mostSilence.TotalSeconds:0} s";
        }

        if (_trouble is { } said)
        {
            return said;
        }

        string words;
        lock (_lastWords)
        {
            words = _lastWords.ToString();
        }

        // Xlib ends the process in these words when its display goes away.
        if (words.Contains("XIO:", StringComparison.Ordinal) || words.Contains("X connection to", StringComparison.Ordinal))
        {
            WindowWasClosed = true;
            return "the window's display is gone; the page goes on without a window";
        }

        return _process.HasExited
            ? $"{otherwise} (exit code {_process.ExitCode}{(words.Length > 0 ? ": " + OneLine.Of(words.Split('\n')[0]) : "")})" : otherwise;
    }
}
