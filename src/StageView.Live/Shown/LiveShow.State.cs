using System.Globalization;
using System.Numerics;
using StageView.Light.Cautions;
using StageView.Light.Geometry;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Live.RigFile;
using StageView.Rig.Pieces;

namespace StageView.Live.Shown;

internal sealed partial class LiveShow
{
    private const string Usual = "The laser safety officer, local code and licensed practice decide.";
    private static readonly TimeSpan StateLasts = TimeSpan.FromMilliseconds(200);
    private static readonly TimeSpan CautionsLast = TimeSpan.FromSeconds(2);
    private readonly Lock _stateGate = new();
    private ShowState? _state;
    private long _stateAt;
    private (int Version, RigCard Card)? _card;
    private IReadOnlyList<CautionLine> _cautions = [];
    private long _cautionsAt;
    private int _cautioning;

    public RigCard Rig
    {
        get
        {
            lock (_stateGate)
            {
                var version = _version;
                if (_card is not { } card || card.Version != version)
                {
                    _card = card = (version, Card(_rig, version));
                }

                return card.Card;
            }
        }
    }

    public IReadOnlyList<CameraLine> Cameras => Rig.Cameras;

    public ShowState State()
    {
        lock (_stateGate)
        {
            if (_state is null || _clock.GetElapsedTime(_stateAt) > StateLasts)
            {
                _stateAt = _clock.GetTimestamp();
                _state = Make();
            }

            return _state;
        }
    }

    private ShowState Make()
    {
        CheckCautions();
        CaptureState? capture;
        string source, name;
        TimeSpan now;
        (string Label, string Note)? timecode;
        lock (_stages)
        {
            capture = _capture?.State();
            timecode = _capture is { } deck ? deck.Timecode() : _look is null ? _timecode.Now() : null;
            (source, name) = capture is not null ? ("capture", capture.Name) : _look is not null ? ("look", _lookName) : ("network", "what the network sends");
            now = capture is not null ? TimeSpan.FromSeconds(capture.Position) : _clock.GetElapsedTime(_start);
        }

        var fault = _fault is { } f ? f with { ForSeconds = Math.Round(_clock.GetElapsedTime(_faultSince).TotalSeconds) } : null;
        return new ShowState(
            _version, source, name, Math.Round(now.TotalSeconds, 3), timecode?.Label, timecode?.Note,
            _network,
            capture, _recorder.State(), fault, _cautions,
            new EditState(_editor.CanUndo, _editor.CanRedo, _editor.Last),
            MarkerNow());
    }

    private static RigCard Card(RigScene rig, int version) => new(
        version, rig.Name, rig.File,
        [.. rig.Fixtures.Select(f => new FixtureLine(
            f.Name, f.Number, f.Profile.Name, f.Mode.Name, f.Position, string.Join(", ", f.Patch.Select(p => p.Start)), f.Groups,
            [f.Pose.Position.X, f.Pose.Position.Y, f.Pose.Position.Z], RigEditor.WhyFixed(rig, f) is null))],
        [.. rig.Cameras.Select(c => new CameraLine(c.Name, Three(c.Position), Three(c.Target), Angles.Degrees(c.VerticalFieldRadians), c.Ev100))],
        [.. rig.Fixtures.Select(f => f.Profile).Distinct().SelectMany(p => p.NotUnderstood.Select(n => $"{p.Name}: {n}")).Take(50)]);

    private static float[] Three(Vector3 v) => [v.X, v.Y, v.Z];

    /// <summary>The check takes a while with many beams; it runs beside everything else, one at a time.</summary>
    private void CheckCautions()
    {
        if ((_cautionsAt != 0 && _clock.GetElapsedTime(_cautionsAt) < CautionsLast) || Interlocked.Exchange(ref _cautioning, 1) == 1)
        {
            return;
        }

        _cautionsAt = _clock.GetTimestamp();
        Task.Run(() =>
        {
            try
            {
                Moment copy;
                RigScene rig;
                lock (_stages)
                {
                    rig = _rig;
                    copy = Copy(MomentNow());
                }

                var volumes = rig.Volumes.Select(v => new WatchedVolume(v.Name, v.Kind == CautionVolumeKind.Crew, v.Pose, v.Size)).ToList();
                var found = volumes.Count == 0 ? [] : CautionCheck.Find(new LightMeter(copy, OcclusionScene.From(copy)), volumes, new CautionSettings());
                _cautions = [.. found
                    .GroupBy(c => (c.Kind, c.Volume.Name, c.Fixture))
                    .Select(g => Line(rig, g.Key.Kind, g.MaxBy(c => c.Lux + c.Irradiance)!))
                    .Take(40)];
            }
            catch (Exception e)
            {
                _journal.Say("show", "the caution check failed: " + e.Message);
            }
            finally
            {
                Volatile.Write(ref _cautioning, 0);
            }
        });
    }

    private static CautionLine Line(RigScene rig, CautionKind kind, Caution c)
    {
        var name = c.Fixture >= 0 && c.Fixture < rig.Fixtures.Count ? rig.Fixtures[c.Fixture].Name : "a fixture";
        var way = c.Bounces == 0 ? "" : c.Bounces == 1 ? " off a mirror" : string.Create(CultureInfo.InvariantCulture, $" off {c.Bounces} mirrors");
        var who = c.Volume.IsCrew ? "crew" : "audience";
        return kind switch
        {
            CautionKind.Beam => new CautionLine("beam", string.Create(CultureInfo.InvariantCulture, $"{name}{way} shines into {c.Volume.Name} ({who}) with up to {c.Lux:0} lx"), "Glare and flashes into eyes: local code and licensed practice decide.", c.Fixture),
            CautionKind.Laser => new CautionLine("laser", string.Create(CultureInfo.InvariantCulture, $"{name}{way} enters {c.Volume.Name} ({who}): {c.Irradiance:0.#} W/m² there, hazard distance {c.HazardDistance:0} m"), Usual, c.Fixture),
            _ => new CautionLine("laser", string.Create(CultureInfo.InvariantCulture, $"{name}{way} passes close to {c.Volume.Name} ({who})"), Usual, c.Fixture),
        };
    }
}
