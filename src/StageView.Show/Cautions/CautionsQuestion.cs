using StageView.Ground.Indices;
using StageView.Light.Cautions;
using StageView.Light.Cautions.Flashes;
using StageView.Light.Cautions.Lasers;
using StageView.Light.Cautions.Limits;
using StageView.Light.Cautions.Moving;
using StageView.Light.Cautions.Volumes;
using StageView.Light.Measure;
using StageView.Light.Moments;
using StageView.Light.Rays;
using StageView.Rig.Pieces;
using StageView.Stage;

namespace StageView.Show.Cautions;

/// <summary>Gathers reasons to look over one or more moments: light and lasers where people may be, strobes, pieces that move.</summary>
/// <remarks>
/// Two ways of feeding: Look for what takes long (what reaches volumes), Follow as often as flashes and movement are to be seen.
/// Memory grows with what is found alone.
/// </remarks>
public sealed class CautionsQuestion
{
    /// <summary>Time between calls of Follow by which flashes at half the rate of DMX packets are still seen, s.</summary>
    public const double FollowSeconds = 1.0 / 80;

    /// <summary>Movement is looked at when at least so much time has passed, s.</summary>
    private const double MovingSeconds = 0.05;

    private const double Gap = 1.01;

    /// <summary>A fixture counts as lit when it shone within this time, s: a strobe is dark most of it.</summary>
    private static readonly TimeSpan LitWithin = TimeSpan.FromSeconds(1);

    private readonly RigScene _rig;
    private readonly CautionLimits _limits;
    private readonly IReadOnlyList<WatchedVolume> _volumes;
    private readonly Dictionary<(CautionKind Kind, string Volume, FixtureIndex Fixture, int Bounces), Way> _found = [];
    private readonly Dictionary<int, StrobeFound> _strobes = [];
    private readonly Dictionary<string, CheckedThing> _checked = [];
    private readonly OcclusionScene _scene = new();
    private readonly Lock _gate = new();
    private readonly StrobeWatch _flicker;
    private readonly MovingPieces _pieces;
    private readonly int[] _strobing;
    private readonly float[] _lumens;
    private readonly float[] _lit;
    private MovingWatch? _moving;
    private CautionReport? _report;
    private int _moments;
    private int _follows;
    private double _followed;
    private double _movedAt;
    private double _last;

    /// <param name="rig">The rig.</param>
    /// <param name="limits">From what on something counts; the rig's own when null.</param>
    /// <exception cref="StopException">A limit lies out of its range.</exception>
    public CautionsQuestion(RigScene rig, CautionLimits? limits = null)
    {
        ArgumentNullException.ThrowIfNull(rig);
        (_rig, _limits, _volumes) = (rig, limits ?? rig.Limits, Volumes(rig));
        if (_limits.Fault() is { } fault)
        {
            throw StopException.Wrong(fault);
        }

        (_flicker, _pieces) = (new StrobeWatch(rig.Fixtures.Count, _limits), new MovingPieces(rig));
        (_lumens, _lit) = (new float[rig.Fixtures.Count], new float[rig.Fixtures.Count]);
        _strobing = [.. Enumerable.Range(0, rig.Fixtures.Count).Where(i => rig.Fixtures[i].Mode.Channels.Any(
            c => c.Functions.Any(f => f.Attribute.Contains("Strobe", StringComparison.Ordinal))))];
    }

    /// <summary>What reaches volumes is looked for by at most so many threads at once; -1 for as many as there are cores.</summary>
    public int Cores { get; init; } = -1;

    /// <summary>The audience and crew volumes of a rig.</summary>
    public static IReadOnlyList<WatchedVolume> Volumes(RigScene rig) =>
        [.. rig.Volumes.Select(v => new WatchedVolume(v.Name, v.Kind == CautionVolumeKind.Crew, v.Pose, v.Size))];

    /// <summary>Adds what one moment shows. Times must not decrease from call to call.</summary>
    /// <param name="stage">Whose moment.</param>
    /// <param name="time">Show time.</param>
    /// <param name="bounces">Mirrors a beam may meet, 0 to 4; the rig's own number unless given.</param>
    public void Look(StageModel stage, TimeSpan time, int? bounces = null)
    {
        ArgumentNullException.ThrowIfNull(stage);
        Look(stage.MomentAt(time, default, bounces), time);
        ReadStrobes(stage, time);
    }

    /// <summary>Adds what a moment shows, but for strobe channels, which only a stage knows.</summary>
    /// <param name="moment">The moment.</param>
    /// <param name="time">Show time, not before the last one's.</param>
    public void Look(Moment moment, TimeSpan time)
    {
        _scene.Set(moment);
        var seconds = time.TotalSeconds;
        var step = _moments == 0 ? 0 : seconds - _last;
        _report = CautionCheck.Check(new LightMeter(moment, _scene, MeterSettings.Default with { LensSize = false }), _volumes, _limits, Cores);
        foreach (var c in _report.Checked)
        {
            _checked[c.What] = _checked.TryGetValue(c.What, out var known) && known.Count > c.Count ? known : c;
        }

        foreach (var c in _report.Found)
        {
            var key = (c.Kind, c.Volume.Name, c.Fixture, c.Bounces);
            if (!_found.TryGetValue(key, out var way))
            {
                _found[key] = way = new Way();
            }

            way.Take(c, seconds, step * Gap);
        }

        (_last, _moments) = (seconds, _moments + 1);
    }

    /// <summary>Adds what flashes and moves; call it every <see cref="FollowSeconds"/> or so. Times must not decrease.</summary>
    /// <param name="stage">Whose light.</param>
    /// <param name="time">Show time.</param>
    public void Follow(StageModel stage, TimeSpan time)
    {
        ArgumentNullException.ThrowIfNull(stage);
        Follow(stage, stage.MomentAt(time, TimeSpan.FromSeconds(FollowSeconds), 0));
    }

    /// <summary>The same with the stage's newest moment at hand; may be called beside everything else.</summary>
    /// <param name="stage">Whose moment.</param>
    /// <param name="moment">Not before the last one; one of the same time adds nothing.</param>
    public void Follow(StageModel stage, Moment moment)
    {
        ArgumentNullException.ThrowIfNull(stage);
        ArgumentNullException.ThrowIfNull(moment);
        lock (_gate)
        {
            var seconds = moment.Time.TotalSeconds;
            if (_follows > 0 && seconds <= _followed)
            {
                return;
            }

            StrobeWatch.Lumens(moment, _lumens);
            _flicker.Add(seconds, _lumens);
            if (_moving is null || seconds - _movedAt >= MovingSeconds)
            {
                var solids = _pieces.At(moment);
                _moving ??= new MovingWatch(_pieces.Pieces, _volumes, _limits);
                _moving.Add(seconds, solids, _pieces.Placed(stage));
                _movedAt = seconds;
            }

            (_followed, _follows) = (seconds, _follows + 1);
        }
    }

    /// <summary>Adds the strobe channels of fixtures that are lit.</summary>
    /// <param name="stage">Whose channels.</param>
    /// <param name="time">Show time.</param>
    public void ReadStrobes(StageModel stage, TimeSpan time)
    {
        ArgumentNullException.ThrowIfNull(stage);
        if (_strobing.Length == 0)
        {
            return;
        }

        StrobeWatch.Lumens(stage.MomentAt(time, LitWithin, 0), _lit);
        foreach (var i in _strobing.Where(i => _lit[i] >= _limits.StrobeLeastLumens))
        {
            foreach (var a in stage.StateOf(new FixtureIndex(i), time).Attributes)
            {
                if (a.Attribute.Contains("Strobe", StringComparison.Ordinal) && a.Unit == "Hz" && a.Now > _limits.StrobeRate)
                {
                    var now = new StrobeFound(_rig.Fixtures[i].Name, i, a.Channel, a.Now, time.TotalSeconds, time.TotalSeconds);
                    _strobes[i] = _strobes.TryGetValue(i, out var known) ? Both(known, now) : now;
                }
            }
        }
    }

    /// <summary>What was found so far.</summary>
    public CautionsAnswer Answer()
    {
        lock (_gate)
        {
            return Gathered();
        }
    }

    private CautionsAnswer Gathered() =>
        new()
        {
            Moments = _moments,
            Volumes = _volumes,
            Limits = _limits,
            LaserLimit = LaserHazard.VisibleLimit(_limits.ExposureSeconds),
            Light = [.. _found.Values.OrderBy(f => f.Worst.Kind).ThenBy(f => f.Worst.Volume.Name).ThenByDescending(f => f.Worst.Lux)
                .ThenByDescending(f => f.Worst.Irradiance).Select(f => new CautionFound(f.Worst, f.Emitters, f.At, f.Times))],
            Strobes = Strobes(),
            Moving = MovingRows.Of(_rig, _pieces, _moving, _volumes),
            Closest = MovingRows.Closest(_pieces, _moving),
            Speeds = MovingRows.Speeds(_pieces, _moving, _limits),
            Checked =
            [
                .. _checked.Values,
                new CheckedThing("strobe channels of lit fixtures", _strobing.Length, _limits.Strobe),
                .. _follows > 1 ? [new CheckedThing("flashes by each fixture's light", _rig.Fixtures.Count, _limits.Strobe)] : (CheckedThing[])[],
                .. _follows > 1 ? [new CheckedThing("moving pieces near each other and over volumes", _pieces.Pieces.Count, _limits.Moving)]
                    : (CheckedThing[])[],
            ],
            NotChecked = [.. _report?.NotChecked ?? [], .. NotLooked()],
        };

    private IEnumerable<UncheckedThing> NotLooked()
    {
        if (_follows < 2)
        {
            yield return new UncheckedThing("flashes by dimmers and levels", "one moment shows none; they are looked for over a capture, or while it runs");
        }

        yield return new UncheckedThing("flashes as an eye sees them (WCAG, BT.1702)", "the verb flashes counts them, seat by seat");
        if (_follows < 2)
        {
            yield return new UncheckedThing("moving pieces", "one moment shows no movement");
        }
        else
        {
            yield return new UncheckedThing("moving pieces against what stands still", "only moving pieces and volumes are held against each other");
        }

        if (_pieces.WithoutBody > 0)
        {
            yield return new UncheckedThing(
                _pieces.WithoutBody == 1 ? "1 fixture that moves" : $"{_pieces.WithoutBody} fixtures that move", "its profile has no body to follow");
        }
    }

    private List<StrobeFound> Strobes()
    {
        var all = new Dictionary<int, StrobeFound>(_strobes);
        foreach (var s in _flicker.Spells)
        {
            var seen = new StrobeFound(_rig.Fixtures[s.Fixture].Name, s.Fixture, "", s.Rate, s.From, s.To);
            // Where a channel tells the rate, that is the rate: looked at 80 times a second a flash is a little early or late.
            all[s.Fixture] = all.TryGetValue(s.Fixture, out var known) ? Both(known, seen) with { Rate = known.Rate } : seen;
        }

        return [.. all.Values.OrderByDescending(s => s.Rate).ThenBy(s => s.From).ThenBy(s => s.Index)];
    }

    private static StrobeFound Both(StrobeFound a, StrobeFound b) =>
        (a.Rate >= b.Rate ? a : b) with { From = Math.Min(a.From, b.From), To = Math.Max(a.To, b.To), By = a.By.Length > 0 ? a.By : b.By };

    /// <summary>One way into one volume, as it grows.</summary>
    private sealed class Way
    {
        private const int MostTimes = 256;
        private readonly HashSet<int> _emitters = [];

        public Caution Worst { get; private set; } = null!;

        public double At { get; private set; }

        public int Emitters => _emitters.Count;

        /// <summary>At most <see cref="MostTimes"/>: then the first two are told as one.</summary>
        public List<(double From, double To)> Times { get; } = [];

        public void Take(Caution c, double time, double gap)
        {
            _emitters.Add(c.Emitter);
            if (Worst is null || c.Lux + c.Irradiance > Worst.Lux + Worst.Irradiance)
            {
                (Worst, At) = (c, time);
            }

            if (Times.Count > 0 && time - Times[^1].To <= gap)
            {
                Times[^1] = (Times[^1].From, time);
            }
            else
            {
                Times.Add((time, time));
                if (Times.Count > MostTimes)
                {
                    Times[1] = (Times[0].From, Times[1].To);
                    Times.RemoveAt(0);
                }
            }
        }
    }
}
