using System.Collections.Concurrent;
using System.Runtime.InteropServices;
using System.Text;
using System.Text.Json;
using StageView.Light.Moments;
using StageView.Live.Terms;
using StageView.Render;
using StageView.Render.Contexts;
using StageView.Render.Output;
using StageView.Render.Settings;

namespace StageView.Live.Pictures;

/// <summary>The drawing process: takes moments, gives pictures, and shows its own window where it has one. Ends with its input.</summary>
/// <param name="input">Words of the listening process.</param>
/// <param name="output">Words to it.</param>
/// <param name="wantsWindow">Whether to open a window.</param>
public sealed class PicturesWorker(Stream input, Stream output, bool wantsWindow) : IDisposable
{
    /// <summary>Whether pictures show what matt surfaces throw on each other.</summary>
    public bool Indirect { get; init; }

    /// <summary>Makes what draws a window's frames where there is no window and is told where to say what it showed; null for nothing.</summary>
    internal Func<FrameRenderer, Action<ShownHead>, IWindowFrames>? Instead { get; init; }

    private readonly PictureWire _wire = new(input, output);
    private readonly AutoResetEvent _arrived = new(false);
    private readonly ConcurrentQueue<(DrawOrder Order, Moment Moment)> _orders = new();
    private readonly ConcurrentQueue<string> _titles = new();
    private readonly TimeProvider _clock = TimeProvider.System;
    private GlContext? _context;
    private FrameRenderer? _renderer;
    private PicturesWindow? _window;
    private MattBeside? _matt;
    private IWindowFrames? _frames;
    private volatile Arrived? _newest;
    private volatile IReadOnlyList<CameraLine>? _cameras;
    private volatile bool _ended;
    private volatile int _givenUp;
    private long _asked;
    private long _spoke;
    private WindowStanding? _stood;
    private readonly ConcurrentQueue<WindowStanding> _stands = new();
    private Moment _tables = new();

    // Pictures for a page at rest and in motion, and for another page, by turns: big arrays are made once.
    private readonly List<PixelImage> _sheets = [];

    /// <summary>Draws until the input ends; false when the machine can't.</summary>
    public bool Run()
    {
        try
        {
            var why = Open();
            _renderer!.Progress = Lives;
            _window?.Progress = Lives;
            _wire.Send(PictureWord.Hello, [(byte)((_frames is null ? 0 : 1) | (_context!.IsSoftware ? 2 : 0))],
                Encoding.UTF8.GetBytes(_context.Renderer + (Indirect ? ", with light that floors, walls and people throw" : "") + "\n" + why));
        }
        catch (Exception e) when (e is MachineCannotException or DllNotFoundException or EntryPointNotFoundException)
        {
            _wire.Send(PictureWord.Trouble, Encoding.UTF8.GetBytes(e.Message));
            return false;
        }

        new Thread(Read) { IsBackground = true, Name = "moments" }.Start();
        try
        {
            while (!_ended)
            {
                _arrived.WaitOne(_frames is null ? 500 : 4);
                Work();
                LookAround();
                if (_window is { Closing: true })
                {
                    _wire.Send(PictureWord.WindowClosed, []);
                    return true;
                }
            }

            return true;
        }
        catch (Exception e) when (e is not IOException)
        {
            _wire.Send(PictureWord.Trouble, Encoding.UTF8.GetBytes(e.Message));
            return false;
        }
        catch (IOException)
        {
            // The listening process is gone, and this one goes with it.
            return true;
        }
    }

    /// <summary>
    /// A picture can take long where a machine is busy or its programs are compiled for the first time: once a second it is told that it gets on.
    /// </summary>
    private void Lives()
    {
        if (_clock.GetElapsedTime(_spoke) >= TimeSpan.FromSeconds(1))
        {
            _spoke = _clock.GetTimestamp();
            _wire.Send(PictureWord.Alive, []);
        }
    }

    public void Dispose()
    {
        _renderer?.Dispose();
        _window?.Dispose();
        _context?.Dispose();
        _arrived.Dispose();
    }

    /// <summary>Opens a window when one is wanted and can be had, else a context without; the reason why there is no window, or nothing.</summary>
    private string Open()
    {
        var why = "";
        _matt = Indirect ? new MattBeside(Lives) : null;
        if (wantsWindow && ScreenWindow.TryOpen("StageView", 1280, 720, visible: true, out var window, out why))
        {
            _context = window;
            _renderer = new FrameRenderer(window);
            _frames = _window = new PicturesWindow(window, _matt, ray => _wire.Send(PictureWord.Pick, PlainBytes.Of(ray)),
                shown => _wire.Send(PictureWord.Shown, PlainBytes.Of(shown)));
            return "";
        }

        _context = Offscreen.Open();
        _renderer = new FrameRenderer(_context);
        _frames = Instead?.Invoke(_renderer, shown => _wire.Send(PictureWord.Shown, PlainBytes.Of(shown)));
        return wantsWindow ? "no window: " + why : "";
    }

    private void Work()
    {
        while (_titles.TryDequeue(out var title))
        {
            _window?.Title(title);
        }

        if (Interlocked.Exchange(ref _cameras, null) is { } cameras)
        {
            _frames?.Follow(cameras);
        }

        if (_stands.TryDequeue(out var stand) && _window is not null)
        {
            _window.Standing = stand;
        }

        if (_orders.TryDequeue(out var order))
        {
            // Overtaken orders were given up by the other side.
            while (_orders.TryDequeue(out var later))
            {
                order = later;
            }

            Draw(order.Order, order.Moment);
        }

        if (_frames is not null && _newest is { } moment)
        {
            _frames.Work(moment.Moment, moment.Head, _clock, () => IsOvertaken(moment));
            Taken(moment);
        }
        else
        {
            _window?.Wait();
        }
    }

    private void Draw(DrawOrder order, Moment moment)
    {
        try
        {
            var frame = _renderer!.Render(moment, order.ToView().ToCamera(),
                new RenderSettings
                {
                    Width = order.Width,
                    Height = order.Height,
                    WorkLightLux = order.ToView().WorkLux,
                    Quality = order.Quick ? RenderQuality.Draft : RenderQuality.Normal,
                    Coarse = order.Quick && _context!.IsSoftware,
                    Indirect = _matt?.For(moment, wait: !order.Quick),
                    Into = Sheet(order.Width, order.Height),
                    Overtaken = order.Quick ? null : () => _givenUp >= order.Number,
                });
            _wire.Send(PictureWord.Picture, PlainBytes.Of(new PictureHead(order.Number, order.Width, order.Height)), frame.Screen!.Rgba);
        }
        catch (PictureOvertakenException)
        {
            _wire.Send(PictureWord.GivenUp, PlainBytes.Of(order.Number));
        }
    }

    /// <summary>Asked between the parts of the window's fine picture: another moment came since, or a page waits for a quick one.</summary>
    private bool IsOvertaken(Arrived moment)
    {
        // The next moment comes only once this one is taken.
        Taken(moment);
        return _newest is { } newest && newest.Head.Essence != moment.Head.Essence || (_orders.TryPeek(out var next) && next.Order.Quick);
    }

    private void Taken(Arrived moment)
    {
        if (!moment.Told)
        {
            moment.Told = true;
            _wire.Send(PictureWord.Taken, []);
        }
    }

    /// <summary>
    /// Twice a second. A window at rest draws nothing, so nothing would tell that its context is gone and its picture with it; and
    /// where it stands is told while it stands.
    /// </summary>
    private void LookAround()
    {
        if (_clock.GetElapsedTime(_asked) < TimeSpan.FromMilliseconds(500))
        {
            return;
        }

        _asked = _clock.GetTimestamp();
        _renderer!.ThrowIfLost();

        // Not before it is where it was told to be, and looks at the rig.
        if (_newest is not null && _stands.IsEmpty && _window?.Standing is { } now && now != _stood)
        {
            _stood = now;
            _wire.Send(PictureWord.Standing, PlainBytes.Of(now));
        }
    }

    /// <summary>A picture of a size to draw into, one of the last few used.</summary>
    private PixelImage Sheet(int width, int height)
    {
        const int most = 4;
        var at = _sheets.FindIndex(s => s.Width == width && s.Height == height);
        var sheet = at < 0 ? new PixelImage(width, height) : _sheets[at];
        if (at >= 0 || _sheets.Count == most)
        {
            _sheets.RemoveAt(Math.Max(0, at));
        }

        _sheets.Add(sheet);
        return sheet;
    }

    private void Read()
    {
        Arrived? last = null;
        try
        {
            while (_wire.TryReceive(out var word, out var payload))
            {
                switch (word)
                {
                    case PictureWord.Tables:
                        _tables = MomentBytes.ReadTables(payload.ToArray());
                        break;
                    case PictureWord.Moment:
                        _newest = last = Arrive(payload.Span);
                        break;
                    case PictureWord.Aside:
                        last = Arrive(payload.Span);
                        break;
                    case PictureWord.Draw when last is not null:
                        // Of the moment that came just before it.
                        _orders.Enqueue((PlainBytes.To<DrawOrder>(payload.Span), last.Moment));
                        break;
                    case PictureWord.GiveUp:
                        _givenUp = PlainBytes.To<int>(payload.Span);
                        break;
                    case PictureWord.Title:
                        _titles.Enqueue(Encoding.UTF8.GetString(payload.Span));
                        break;
                    case PictureWord.Stand:
                        _stands.Enqueue(PlainBytes.To<WindowStanding>(payload.Span));
                        break;
                    case PictureWord.Cameras:
                        _cameras = JsonSerializer.Deserialize<List<CameraLine>>(payload.Span, LiveJson.Options);
                        break;
                }

                _arrived.Set();
            }
        }
        catch (Exception e) when (e is IOException or InvalidDataException or ObjectDisposedException)
        {
            // Treated as the end.
        }

        _ended = true;
        _arrived.Set();
    }

    private Arrived Arrive(ReadOnlySpan<byte> payload)
    {
        var size = System.Runtime.CompilerServices.Unsafe.SizeOf<MomentHead>();
        return new Arrived(MomentBytes.Read(payload[size..], _tables), MemoryMarshal.Read<MomentHead>(payload));
    }

    private sealed class Arrived(Moment moment, MomentHead head)
    {
        public Moment Moment { get; } = moment;

        public MomentHead Head { get; } = head;

        public bool Told { get; set; }
    }
}
