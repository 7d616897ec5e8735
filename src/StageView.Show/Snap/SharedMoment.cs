using StageView.Ground.Indices;
using StageView.Light.Moments;
using StageView.Show.Sources;
using StageView.Snapshot.Frames;

namespace StageView.Show.Snap;

/// <summary>What the cameras of one time share, the last asked for: the moment, what is lit in it, its digest. Another shutter is another moment.</summary>
internal sealed class SharedMoment(ShowSource source, StateKey keys)
{
    private (TimeSpan At, float Shutter)? _of;
    private (Moment Moment, IReadOnlyList<(FixtureIndex Fixture, FixtureRecord Record)> Lit, string Digest) _last;

    public StateKey Keys { get; } = keys;

    /// <returns>A moment that stays valid while the next one is in use.</returns>
    public (Moment Moment, IReadOnlyList<(FixtureIndex Fixture, FixtureRecord Record)> Lit, string Digest) Of(TimeSpan at, Camera camera)
    {
        if (_of != (at, camera.ShutterSeconds))
        {
            source.FeedTo(at);
            var shutter = TimeSpan.FromSeconds(camera.ShutterSeconds);
            var moment = source.Stage.MomentAt(at, shutter);
            _last = (moment, SidecarMaker.Fixtures(source.Stage, moment, shutter), Keys.Of(moment));
            _of = (at, camera.ShutterSeconds);
        }

        return _last;
    }
}
