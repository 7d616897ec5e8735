using System.Numerics;
using StageView.Light.Geometry;
using StageView.Live.RigFile;
using StageView.Live.Terms;
using StageView.Rig.Pieces;

namespace StageView.Live.Shown;

/// <summary>What the page shows beside the picture, made no more often than it can be read.</summary>
/// <param name="make">Makes it anew.</param>
internal sealed class PageState(ShownStage shown, TimeProvider clock, Func<ShowState> make)
{
    private static readonly TimeSpan Lasts = TimeSpan.FromMilliseconds(200);
    private readonly Lock _gate = new();
    private ShowState? _state;
    private long _at;
    private (int Version, RigCard Card)? _card;

    /// <summary>The rig as the page needs it.</summary>
    public RigCard Rig
    {
        get
        {
            lock (_gate)
            {
                var version = shown.Version;
                if (_card is not { } card || card.Version != version)
                {
                    _card = card = (version, Card(shown.Rig, version));
                }

                return card.Card;
            }
        }
    }

    /// <summary>As of the last fifth of a second.</summary>
    public ShowState Now()
    {
        lock (_gate)
        {
            if (_state is null || clock.GetElapsedTime(_at) > Lasts)
            {
                _at = clock.GetTimestamp();
                _state = make();
            }

            return _state;
        }
    }

    private static RigCard Card(RigScene rig, int version) => new(
        version, rig.Name, rig.File,
        [.. rig.Fixtures.Select(f => new FixtureLine(
            f.Name, f.Number, f.Profile.Name, f.Mode.Name, f.Position, string.Join(", ", f.Patch.Select(p => p.Start)), f.Groups,
            [f.Pose.Position.X, f.Pose.Position.Y, f.Pose.Position.Z], RigEditor.WhyFixed(rig, f) is null))],
        [.. rig.Cameras.Select(c => new CameraLine(c.Name, Three(c.Position), Three(c.Target), Angles.Degrees(c.VerticalFieldRadians), c.Ev100))],
        [.. rig.Fixtures.Select(f => f.Profile).Distinct().SelectMany(p => p.NotUnderstood.Select(n => $"{p.Name}: {n}")).Take(50)]);

    private static float[] Three(Vector3 v) => [v.X, v.Y, v.Z];
}
