using System.Globalization;
using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Mirrors;
using StageView.Light.Moments;
using StageView.Light.Sampling;
using StageView.Light.Unfolding;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Stage.Content;
using StageView.Stage.Levels;
using StageView.Stage.Optics;
using StageView.Stage.Programs;
using StageView.Stage.State;
using StageView.Wire.Universes;

namespace StageView.Stage;

/// <summary>
/// What a rig does with the levels it is sent: takes levels as they change and gives the <see cref="Moment"/> at any time.
/// The state at a time follows from the levels up to that time and nothing else, so a frame asked for alone is the same,
/// byte for byte, as the same frame in a run.
/// </summary>
/// <remarks>
/// What a fixture first hears is taken as already reached; from then on its axes travel. Calls may come from several
/// threads; a moment holds until two further ones have been made.
/// </remarks>
public sealed partial class StageModel : ILevelsSink, IOwnLevels
{
    private readonly object _gate = new();
    private readonly LevelHistory _history;
    private readonly UniverseMap _map;
    private readonly LevelsNow _levels;
    private readonly FixtureRun[] _runs;
    private readonly FixtureRun[] _order;
    private readonly FixtureRun[][] _users;
    private readonly MomentBuilder _builder = new();
    private readonly ProfileCache _profiles;
    private readonly bool _keepHistory;
    private readonly NameIndex[][] _mirrorNames;
    private int _applied;
    private double _folded;

    /// <param name="rig">A checked rig.</param>
    /// <param name="keepHistory">True to be able to go back to any earlier time (captures); false for a live show of any length: then times before the newest
    /// levels are answered with the newest levels.</param>
    public StageModel(RigScene rig, bool keepHistory = true)
    {
        Rig = rig;
        _keepHistory = keepHistory;
        _map = new UniverseMap(rig, own: true);
        _levels = new LevelsNow(_map.Count);
        _history = new LevelHistory(_map.Count);
        _profiles = new ProfileCache(rig.Webs);
        var programs = new Dictionary<FixtureMode, ModeProgram>(ReferenceEqualityComparer.Instance);
        _runs = new FixtureRun[rig.Fixtures.Count];
        for (var i = 0; i < _runs.Length; i++)
        {
            var f = rig.Fixtures[i];
            if (!programs.TryGetValue(f.Mode, out var program))
            {
                programs[f.Mode] = program = new ModeProgram(f.Profile, f.Mode);
            }

            _runs[i] = new FixtureRun(f, program, _map);
        }

        _order = CarriersFirst(_runs);
        _users = Users();
        var names = rig.Mirrors.Select(m => m.Name).ToList();
        _mirrorNames = new NameIndex[_runs.Length][];
        for (var i = 0; i < _runs.Length; i++)
        {
            var run = _runs[i];
            _mirrorNames[i] = run.Program.Mirrors.Select((_, k) => new NameIndex(names.Count + k)).ToArray();
            names.AddRange(run.Program.Mirrors.Select(n => run.Fixture.Name + "/" + run.Program.Mode.Geometry[n].Name));
        }

        _builder.Haze = rig.Haze;
        _builder.Meshes = rig.Meshes;
        _builder.GoboImages = rig.GoboImages;
        _builder.Scans = rig.Scans;
        _builder.Webs = rig.Webs;
        _builder.MirrorNames = names;
        _builder.SceneryNames = [.. rig.Scenery.Select(s => s.Name)];
        Restart();
    }

    public RigScene Rig { get; }

    /// <summary>Time of the newest levels; zero before any came.</summary>
    public TimeSpan Newest { get; private set; }

    /// <summary>Beams of a moment at most, reflections among them.</summary>
    public int MostBeams
    {
        get => _builder.MostBeams;
        set => _builder.MostBeams = value;
    }

    /// <summary>What a bound left out of the first moment that it left something out of, in words; null when nothing was.</summary>
    public string? LeftOut { get; private set; }

    /// <summary>
    /// Content over the pixel surfaces, applied in this order beneath the levels; empty unless the caller opens what <see cref="RigScene.Content"/> names.
    /// </summary>
    public IReadOnlyList<PlacedContent> Content { get; set; } = [];

    /// <inheritdoc/>
    public void OnLevels(UniverseNumber universe, TimeSpan at, ReadOnlySpan<byte> levels)
    {
        if (_map.TryFind(universe, out var dense))
        {
            Take(dense, at, levels);
        }
    }

    void IOwnLevels.OnOwnLevels(int stretch, TimeSpan at, ReadOnlySpan<byte> levels) => Take(stretch, at, levels);

    private void Take(int dense, TimeSpan at, ReadOnlySpan<byte> levels)
    {
        lock (_gate)
        {
            Newest = at > Newest ? at : Newest;
            _history.Add(at.TotalSeconds, dense, levels);
            if (!_keepHistory)
            {
                Fold(double.PositiveInfinity);
                _history.Clear();
                _applied = 0;
            }
        }
    }

    /// <summary>All there is to see at one time.</summary>
    /// <param name="at">Show time; levels with this time or an earlier one count.</param>
    /// <param name="open">How long the camera's shutter has been open up to then: dimmers, shutters and strobes are averaged over it. Zero takes the
    /// instant.</param>
    /// <param name="bounces">Mirrors a beam may meet; the rig's own number unless given.</param>
    public Moment MomentAt(TimeSpan at, TimeSpan open = default, int? bounces = null) => Make(at, open, bounces, null);

    /// <summary>What one of the samples of a frame sees: its part of the time that the shutter is open up to then, and its points of the lenses.</summary>
    /// <inheritdoc cref="MomentAt" path="/param"/>
    public Moment SampleAt(TimeSpan at, TimeSpan open, FrameSample sample) =>
        Make(at - (open * (sample.Count - 1 - sample.Instant) / sample.Count), open / sample.Count, null, sample);

    private Moment Make(TimeSpan at, TimeSpan open, int? bounces, FrameSample? sample)
    {
        lock (_gate)
        {
            var t = at.TotalSeconds;
            GoTo(t);
            _builder.Sample = sample;
            _builder.Begin();
            AddScenery();
            var window = open.TotalSeconds;
            foreach (var run in _order)
            {
                Update(run, t);
                AddFixture(run, t, window);
            }

            AddCarriedScenery();
            foreach (var content in Content)
            {
                content.Fill(_builder, at);
            }

            var moment = _builder.Build(at, bounces ?? Rig.Bounces);
            LeftOut ??= moment.LeftOut is { } missing ? string.Create(CultureInfo.InvariantCulture, $"at {t:0.###} s {missing}") : null;
            return moment;
        }
    }

    private void GoTo(double t)
    {
        if (_keepHistory && t < _folded)
        {
            GoBack(t);
        }

        Fold(t);
    }

    private void Fold(double t)
    {
        while (_applied < _history.Count && _history[_applied].At <= t)
        {
            Apply();
        }
    }

    /// <summary>Folds in the next change of levels.</summary>
    private void Apply()
    {
        var change = _history[_applied];
        _folded = change.At;
        _levels.Take(change.Universe, change.Start, _history.LevelsOf(change), out var first);
        foreach (var run in _users[change.Universe])
        {
            run.Refresh(_levels, change.At, first ? change.Universe * 512 : -1, false);
        }

        _applied++;
        Keep();
    }

    private void Restart()
    {
        _levels.Clear();
        _applied = 0;
        _folded = double.NegativeInfinity;
        foreach (var run in _runs)
        {
            run.Reset(_levels);
        }
    }

    private FixtureRun[][] Users()
    {
        var users = new List<FixtureRun>[_map.Count];
        for (var u = 0; u < users.Length; u++)
        {
            users[u] = [];
        }

        foreach (var run in _runs)
        {
            var used = new SortedSet<int>();
            for (var c = 0; c < run.Program.Channels.Length; c++)
            {
                foreach (var b in run.BytesOf(c))
                {
                    if (b >= 0)
                    {
                        used.Add(b >> 9);
                    }
                }
            }

            foreach (var u in used)
            {
                users[u].Add(run);
            }
        }

        return [.. users.Select(u => u.ToArray())];
    }

    private static FixtureRun[] CarriersFirst(FixtureRun[] runs)
    {
        var done = new bool[runs.Length];
        var order = new List<FixtureRun>(runs.Length);
        void Visit(int i, int depth)
        {
            if (done[i] || depth > 16)
            {
                return;
            }

            if (runs[i].Fixture.Carrier is { } c && !c.Fixture.IsNone && c.Fixture.Value < runs.Length)
            {
                Visit(c.Fixture.Value, depth + 1);
            }

            if (!done[i])
            {
                done[i] = true;
                order.Add(runs[i]);
            }
        }

        for (var i = 0; i < runs.Length; i++)
        {
            Visit(i, 0);
        }

        return [.. order];
    }

    private void AddScenery()
    {
        for (var i = 0; i < Rig.Scenery.Count; i++)
        {
            if (Rig.Scenery[i].Carrier is null)
            {
                Add(i, Rig.Scenery[i].Pose);
            }
        }

        for (var i = 0; i < Rig.Mirrors.Count; i++)
        {
            AddMirror(new NameIndex(i), Rig.Mirrors[i].Surface, Rig.Mirrors[i].Corners);
        }
    }

    private void AddCarriedScenery()
    {
        for (var i = 0; i < Rig.Scenery.Count; i++)
        {
            if (Rig.Scenery[i].Carrier is { } c)
            {
                Add(i, _runs[c.Fixture.Value].World[c.Geometry].Compose(Rig.Scenery[i].Pose));
            }
        }
    }

    private void Add(int i, Pose pose)
    {
        var s = Rig.Scenery[i];
        _builder.Add(new MeshInstance
        {
            Mesh = new MeshIndex(s.Mesh),
            Pose = pose,
            Scale = s.Scale,
            Albedo = s.Shine > 0 ? s.Albedo * GlossShares.Matt(s.Shine, s.Roughness) : s.Albedo,
            Shine = s.Shine,
            Roughness = s.Roughness,
            Kind = s.Kind,
            SeenFrom = s.SeenFrom == Vector3.Zero ? Vector3.Zero : Vector3.Transform(s.SeenFrom, pose.Orientation),
            Name = new NameIndex(i),
            Fixture = FixtureIndex.None,
        });
    }

    private void AddMirror(NameIndex name, MirrorSurface surface, ReadOnlySpan<Vector3> corners)
    {
        var normal = Vector3.Normalize(Vector3.Cross(corners[1] - corners[0], corners[2] - corners[1]));
        _builder.AddMirror(
            new Mirror
            {
                Name = name, Normal = normal, Reflectance = surface.Reflectance, SheetThickness = surface.SheetThickness, SheetIndex = surface.SheetIndex,
            },
            corners);
    }
}
