using StageView.Rig.Pieces;
using StageView.Show.Sources;
using StageView.Stage;
using StageView.Wire.Capture;

namespace StageView.Show.Snap;

/// <summary>One capture, played several times side by side: at the time looked at, and a little before and after.</summary>
internal sealed class CaptureShows : IDisposable
{
    private readonly CaptureShow[] _shows;
    private readonly ShowTolerance _tolerance;

    public CaptureShows(RigScene rig, string capture, ShowTolerance tolerance, Func<CapturedDatagram, bool>? only = null) =>
        (_shows, _tolerance) = ([.. tolerance.Around(0).Select(_ => new CaptureShow(rig, capture, null, only: only))], tolerance);

    public CaptureShow Middle => _shows[0];

    public IReadOnlyList<StageModel> Stages => [.. _shows.Select(s => s.Stage)];

    /// <summary>Brings all to a time, s.</summary>
    public void FeedTo(double t)
    {
        var times = _tolerance.Around(t);
        Parallel.For(0, _shows.Length, i => _shows[i].FeedTo(TimeSpan.FromSeconds(times[i])));
    }

    public void Dispose()
    {
        foreach (var show in _shows)
        {
            show.Dispose();
        }
    }
}
