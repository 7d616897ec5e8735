using StageView.Light.Moments;
using StageView.Live.Pictures;
using StageView.Live.Terms;
using StageView.Render;
using StageView.Render.Settings;

namespace StageView.Benchmarks;

/// <summary>
/// A moving window's frames on a machine without a display, for measuring delays there: the newest moment at 1280 × 720, drawn
/// until it stands in the picture that a window would swap in.
/// </summary>
internal sealed class BlindWindow(FrameRenderer renderer, Action<ShownHead> shown) : IWindowFrames
{
    private readonly OrbitCamera _camera = new();
    private bool _followed;
    private ulong _drawn;

    public void Follow(IReadOnlyList<CameraLine> cameras)
    {
        if (!_followed && cameras.Count > 0)
        {
            _followed = true;
            _camera.Use(cameras[0]);
        }
    }

    public void Work(Moment moment, in MomentHead head, TimeProvider clock, Func<bool> overtaken)
    {
        if (_drawn == head.Fingerprint)
        {
            return;
        }

        var from = clock.GetTimestamp();
        var view = _camera.ToView(1280, 720);
        renderer.Render(moment, view.ToCamera(),
            new RenderSettings { Width = view.Width, Height = view.Height, WorkLightLux = view.WorkLux, Quality = RenderQuality.Draft, Unread = true });
        _drawn = head.Fingerprint;
        if (head.Marker >= 0)
        {
            shown(new ShownHead(head.Marker, clock.GetTimestamp(), (float)clock.GetElapsedTime(from).TotalMilliseconds));
        }
    }
}
