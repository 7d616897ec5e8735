using StageView.Light.Interreflection;
using StageView.Light.Moments;
using StageView.Live.Terms;
using StageView.Render;
using StageView.Render.Contexts;
using StageView.Render.Settings;

namespace StageView.Live.Pictures;

/// <summary>The native window: the newest moment at the screen's own pace, turned by mouse and keys.</summary>
internal sealed class PicturesWindow : IWindowFrames, IDisposable
{
    private const int Left = 263, Right = 262, Up = 265, Down = 264, F11 = 300, F12 = 301, Escape = 256;
    private static readonly TimeSpan Rest = TimeSpan.FromMilliseconds(400);
    private readonly ScreenWindow _window;
    private readonly FrameRenderer _renderer;
    private readonly MattBeside? _matt;
    private readonly Action<Ray> _pick;
    private readonly Action<ShownHead> _shown;
    private readonly OrbitCamera _camera = new();
    private IReadOnlyList<CameraLine> _cameras = [];
    private (ulong Print, Viewpoint View, MattLight? Matt)? _drawn;
    private ulong _essence;
    private Viewpoint? _movedView;
    private long _movedAt;
    private (double X, double Y) _at;
    private (double X, double Y)? _from;
    private double _dragged;
    private bool _sliding;
    private bool _stood;
    private double _scale = 1;
    private string _title = "";
    private string? _strip;
    private (int Width, int Height)? _waitingIn;

    public PicturesWindow(ScreenWindow window, MattBeside? matt, Action<Ray> pick, Action<ShownHead> shown)
    {
        _window = window;
        _matt = matt;
        _renderer = new FrameRenderer(window);
        _pick = pick;
        _shown = shown;
        window.Input += Heard;
    }

    public bool Closing => _window.Closing;

    /// <summary>Is told each step of a picture while it is drawn.</summary>
    public Action? Progress
    {
        set => _renderer.Progress = value;
    }

    /// <summary>The title says it, and where the window fills a screen and has none, a strip over the picture.</summary>
    public void Title(string title)
    {
        _title = title;
        _window.Title(title.StartsWith("StageView", StringComparison.Ordinal) ? title : "StageView: " + title);
    }

    /// <summary>Instead of black before the first picture. Called while there is nothing to draw.</summary>
    public void Wait()
    {
        _window.Poll();
        var (w, h) = _window.Pixels;
        if (_drawn is null && (w, h) != _waitingIn && w > 0 && h > 0)
        {
            _waitingIn = (w, h);
            _renderer.ShowWords(WindowWords.Paint("The first picture is being drawn…", Math.Clamp(h / 30, 12, 40), w, whole: false));
        }
    }

    public void Follow(IReadOnlyList<CameraLine> cameras)
    {
        var first = _cameras.Count == 0 && !_stood;
        _cameras = cameras;
        if (first && cameras.Count > 0)
        {
            _camera.Use(cameras[0]);
        }
    }

    /// <summary>Where it stands and what it looks at. Told, it goes back to where another window stood.</summary>
    public WindowStanding Standing
    {
        get => new(_window.Place, _camera.Standing);
        set
        {
            _stood = true;
            _window.Place = value.Place;
            _camera.Standing = value.Camera;
        }
    }

    /// <summary>Takes what the user did and shows the moment when it, or the view, is another than before.</summary>
    public void Work(Moment moment, in MomentHead head, TimeProvider clock, Func<bool> overtaken)
    {
        _window.Poll();
        var (w, h) = _window.Pixels;
        if (w == 0 || h == 0)
        {
            return;
        }

        if (_drawn is null)
        {
            Wait();
        }

        var lies = Lie(w, h);
        var view = _camera.ToView(Math.Max(16, (int)(w * _scale)), Math.Max(16, (int)(h * _scale)));
        if (_essence != head.Essence || _camera.ToView(w, h) != _movedView)
        {
            (_essence, _movedView, _movedAt) = (head.Essence, _camera.ToView(w, h), clock.GetTimestamp());
        }

        // While things move the haze is drawn coarser, for speed; at rest once in full, like the page.
        view = view with { Quick = clock.GetElapsedTime(_movedAt) < Rest };
        var light = _matt?.For(moment, wait: false);
        if (_drawn == (head.Fingerprint, view, light))
        {
            if (lies)
            {
                _renderer.ShowAgain();
            }

            return;
        }

        var from = clock.GetTimestamp();
        try
        {
            _renderer.Show(moment, view.ToCamera(), view.Width, view.Height, view.WorkLux, head.Marker, view.Quick ? RenderQuality.Draft : RenderQuality.Normal,
                finish: head.Marker >= 0, light, view.Quick ? null : () => overtaken() || IsTurned());
        }
        catch (PictureOvertakenException)
        {
            return;
        }

        var took = clock.GetElapsedTime(from).TotalMilliseconds;
        _drawn = (head.Fingerprint, view, light);
        if (head.Marker >= 0)
        {
            _shown(new ShownHead(head.Marker, clock.GetTimestamp(), (float)took));
        }

        // A rasteriser on the processor draws smaller, so that the newest state is never far behind.
        // What is drawn in full at rest takes long on purpose.
        _scale = !view.Quick ? _scale : took > 120 ? Math.Max(.35, _scale * .85) : took < 40 ? Math.Min(1, _scale * 1.05) : _scale;
    }

    public void Dispose() => _renderer.Dispose();

    /// <summary>Lays the words over the picture where there is no title bar; whether they are others than before.</summary>
    private bool Lie(int w, int h)
    {
        var strip = _window.FullScreen ? $"{w}x{h} {_title}" : null;
        if (strip == _strip)
        {
            return false;
        }

        _strip = strip;
        _renderer.Strip = strip is null ? null : WindowWords.Paint(_title, Math.Clamp(h / 45, 11, 32), w, whole: true);
        return true;
    }

    /// <summary>Takes what the user does meanwhile; whether the view is another by it.</summary>
    private bool IsTurned()
    {
        _window.Poll();
        var (w, h) = _window.Pixels;
        return _window.Closing || _camera.ToView(w, h) != _movedView;
    }

    private void Heard(WindowInput e)
    {
        var (w, h) = _window.Pixels;
        var aspect = h > 0 ? (double)w / h : 1;
        switch (e.Kind)
        {
            case WindowInputKind.Move:
                if (_from is { } f)
                {
                    var (dx, dy) = ((e.X - f.X) * aspect, e.Y - f.Y);
                    _dragged += Math.Abs(dx) + Math.Abs(dy);
                    if (_sliding)
                    {
                        _camera.Slide(dx, dy);
                    }
                    else
                    {
                        _camera.Turn(dx * 2.2, dy * 2.2);
                    }

                    _from = (e.X, e.Y);
                }

                _at = (e.X, e.Y);
                break;
            case WindowInputKind.ButtonDown:
                _from = _at;
                _dragged = 0;
                _sliding = e.Code != 0 || (e.Modifiers & 1) != 0;
                break;
            case WindowInputKind.ButtonUp:
                _from = null;
                if (_dragged < .01 && e.Code == 0)
                {
                    _pick(_camera.ToView(Math.Max(1, w), Math.Max(1, h)).RayThrough((float)_at.X, (float)_at.Y));
                }

                break;
            case WindowInputKind.Scroll:
                _camera.Nearer(Math.Exp(e.Y * .12));
                break;
            case WindowInputKind.Key:
                Key(e.Code, (e.Modifiers & 1) != 0);
                break;
        }
    }

    private void Key(int key, bool shift)
    {
        const double step = .06;
        var (x, y) = key switch { Left => (-1, 0), Right => (1, 0), Up => (0, -1), Down => (0, 1), _ => (0, 0) };
        if (x != 0 || y != 0)
        {
            if (shift)
            {
                _camera.Slide(-x * step, -y * step);
            }
            else
            {
                _camera.Turn(x * step, y * step);
            }
        }
        else if (key is '=' or 334)
        {
            _camera.Nearer(1.12);
        }
        else if (key is '-' or 333)
        {
            _camera.Nearer(1 / 1.12);
        }
        else if (key is ',' or '.')
        {
            _camera.Ev = Math.Clamp(_camera.Ev + (key == ',' ? .5f : -.5f), -2, 16);
        }
        else if (key is >= '1' and <= '9' && key - '1' < _cameras.Count)
        {
            _camera.Use(_cameras[key - '1']);
        }
        else if (key == 'W')
        {
            _camera.WorkLight = !_camera.WorkLight;
        }
        else if (key == F11)
        {
            _window.ToggleFullScreen();
        }
        else if (key == F12)
        {
            _window.NextScreen();
        }
        else if (key == Escape && _window.FullScreen)
        {
            _window.ToggleFullScreen();
        }
    }
}
