using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Sampling;
using StageView.Light.Scans;

namespace StageView.Light.Unfolding;

/// <summary>
/// Collects what fixtures and scenery put into one instant and makes a <see cref="Moment"/> of it; beams are unfolded
/// at the mirrors here, once. Keeps three sets of arrays and uses them in turn: nothing is allocated in steady state.
/// </summary>
public sealed partial class MomentBuilder
{
    /// <summary>A zoom that turns makes a profile a moment.</summary>
    private const int MostShares = 64;

    private readonly Buffers[] _sets = [new(), new(), new()];
    private readonly Dictionary<(AngularProfile Profile, float Aspect), double> _shares = [];
    private readonly List<GoboImage> _thrown = [];
    private IReadOnlyList<GoboImage> _images = [];
    private int _next;
    private Buffers _b;

    public MomentBuilder() => _b = _sets[0];

    public Haze Haze { get; set; } = Haze.None;

    public IReadOnlyList<SceneMesh> Meshes { get; set; } = [];

    public IReadOnlyList<GoboImage> GoboImages { get; set; } = [];

    public IReadOnlyList<LaserScan> Scans { get; set; } = [];

    public IReadOnlyList<PhotometricWeb> Webs { get; set; } = [];

    public IReadOnlyList<string> MirrorNames { get; set; } = [];

    public IReadOnlyList<string> SceneryNames { get; set; } = [];

    /// <summary>The sample of a frame whose points of the lenses beams leave from; null for lenses as they are.</summary>
    public FrameSample? Sample { get; set; }

    /// <summary>Starts a new instant; what was added before is gone.</summary>
    public void Begin()
    {
        _b.Clear();
        _thrown.Clear();
    }

    /// <summary>Adds a direct beam; its flux must be above zero to be kept.</summary>
    public void Add(in Beam beam)
    {
        if (beam.FluxLumens > 0)
        {
            var whole = beam with { Parent = BeamIndex.None, Bounces = 0, Throughput = 1, Clip = default, Mirrored = false };
            _b.Beams.Add(Sample is { } sample ? sample.Out(whole) : whole);
        }
    }

    /// <summary>
    /// Puts a picture into the gate of beams that were added before; gobos stand behind it. Their flux is that of a white picture from then on
    /// (<see cref="ThrownPicture.WhiteShare"/>). Lamps that shine all round have no gate.
    /// </summary>
    /// <param name="picture">What is thrown.</param>
    /// <param name="aspect">Its width by its height.</param>
    /// <param name="takes">The fixtures that throw it.</param>
    public void Throw(GoboImage picture, float aspect, Func<FixtureIndex, bool> takes)
    {
        ArgumentNullException.ThrowIfNull(takes);
        _thrown.Add(picture);
        foreach (ref var beam in _b.Beams.Span)
        {
            if (beam.Profile.IsOmnidirectional || !takes(beam.Fixture))
            {
                continue;
            }

            if (!_shares.TryGetValue((beam.Profile, aspect), out var share))
            {
                if (_shares.Count >= MostShares)
                {
                    _shares.Clear();
                }

                _shares[(beam.Profile, aspect)] = share = ThrownPicture.WhiteShare(beam.Profile, aspect, Webs);
            }

            beam = beam with
            {
                Gobo = new GoboState(GoboImages.Count + _thrown.Count, 0, 0),
                SecondGobo = beam.Gobo,
                ThirdGobo = beam.SecondGobo,
                FluxLumens = share > 0 ? (float)(beam.FluxLumens / share) : beam.FluxLumens,
            };
        }
    }

    public void Add(in LaserBeam laser)
    {
        if (laser.FluxLumens > 0)
        {
            _b.Lasers.Add(laser);
        }
    }

    /// <summary>Adds a laser that draws a figure of <see cref="Scans"/>: one ray for each of the figure's, with its share of the power.</summary>
    public void Add(in LaserScanner scanner)
    {
        if (scanner.FluxLumens <= 0)
        {
            return;
        }

        _b.Scanners.Add(scanner);
        foreach (var ray in Scans[scanner.Scan - 1].Rays)
        {
            Add(new LaserBeam
            {
                Fixture = scanner.Fixture,
                Emitter = scanner.Emitter,
                Origin = scanner.Origin,
                Direction = scanner.DirectionOf(ray.Direction),
                Length = LaserFarLimit,
                PowerWatts = scanner.PowerWatts * ray.Share,
                PeakWatts = scanner.PowerWatts,
                FluxLumens = scanner.FluxLumens * ray.Share,
                Colour = scanner.Colour,
                ApertureMetres = scanner.ApertureMetres,
                DivergenceRadians = scanner.DivergenceRadians,
                Scanner = _b.Scanners.Count,
                ScanDirection = ray.Direction,
                ScanRadius = ray.Radius,
            });
        }
    }

    public void Add(in MeshInstance instance) => _b.Scenery.Add(instance);

    /// <summary>Adds a mirror; <paramref name="corners"/> in world metres, convex, counter-clockwise seen from the reflecting side.</summary>
    public void AddMirror(in Mirror mirror, ReadOnlySpan<Vector3> corners) =>
        _b.Mirrors.Add(mirror with { Outline = AddOutline(corners) });

    /// <summary>Adds a surface and returns its pixels, all black, to be filled in before <see cref="Build"/> and before anything else is added.</summary>
    public Span<Vector3> AddSurface(in PixelSurface surface)
    {
        var count = surface.Columns * surface.Rows;
        var first = _b.Pixels.Count;
        _b.Surfaces.Add(surface with { FirstPixel = first });
        return _b.Pixels.Extend(count);
    }

    /// <summary>Surfaces added so far; pixels of several may be changed again by <see cref="PixelsOf"/> before <see cref="Build"/>.</summary>
    public ReadOnlySpan<PixelSurface> Surfaces => _b.Surfaces.Span;

    /// <summary>Pixels of a surface added before, row by row.</summary>
    public Span<Vector3> PixelsOf(int surface)
    {
        ref readonly var s = ref _b.Surfaces.Span[surface];
        return _b.Pixels.Span.Slice(s.FirstPixel, s.Columns * s.Rows);
    }

    /// <summary>Copies world points into the moment's pool.</summary>
    public Outline AddOutline(ReadOnlySpan<Vector3> points)
    {
        var first = _b.Outlines.Count;
        points.CopyTo(_b.Outlines.Extend(points.Length));
        return new Outline(first, points.Length);
    }

    /// <summary>Unfolds the beams and lasers and hands the moment over.</summary>
    /// <param name="time">Show time.</param>
    /// <param name="bounces">How many mirrors a beam may meet, 0 to 4.</param>
    public Moment Build(TimeSpan time, int bounces = 2)
    {
        ArgumentOutOfRangeException.ThrowIfNegative(bounces);
        ArgumentOutOfRangeException.ThrowIfGreaterThan(bounces, 4);
        Unfold(bounces);
        var b = _b;
        var m = b.Moment;
        m.Time = time;
        m.Haze = Haze;
        m.Meshes = Meshes;
        m.GoboImages = _thrown.Count == 0 ? GoboImages : Images();
        m.ThrownImages = _thrown.Count;
        m.Scans = Scans;
        m.Webs = Webs;
        m.MirrorNames = MirrorNames;
        m.SceneryNames = SceneryNames;
        m.Beams = b.Beams.Memory;
        m.Lasers = b.Lasers.Memory;
        m.Scanners = b.Scanners.Memory;
        m.PixelSurfaces = b.Surfaces.Memory;
        m.Pixels = b.Pixels.Memory;
        m.Mirrors = b.Mirrors.Memory;
        m.Scenery = b.Scenery.Memory;
        m.Outlines = b.Outlines.Memory;
        m.MirrorPaths = b.MirrorPaths.Memory;
        m.LacksReflections = b.LacksReflections;
        _next = (_next + 1) % _sets.Length;
        _b = _sets[_next];
        _b.Clear();
        return m;
    }

    partial void Unfold(int bounces);

    /// <summary>The rig's gobos and what is thrown: the same list while that is the same.</summary>
    private IReadOnlyList<GoboImage> Images()
    {
        if (_images.Count != GoboImages.Count + _thrown.Count || !_images.Take(GoboImages.Count).SequenceEqual(GoboImages, ReferenceEqualityComparer.Instance)
            || !_images.Skip(GoboImages.Count).SequenceEqual(_thrown, ReferenceEqualityComparer.Instance))
        {
            _images = [.. GoboImages, .. _thrown];
        }

        return _images;
    }

    private sealed class Buffers
    {
        public readonly Moment Moment = new();
        public readonly Pool<Beam> Beams = new();
        public readonly Pool<LaserBeam> Lasers = new();
        public readonly Pool<LaserScanner> Scanners = new();
        public readonly Pool<PixelSurface> Surfaces = new();
        public readonly Pool<Vector3> Pixels = new();
        public readonly Pool<Mirror> Mirrors = new();
        public readonly Pool<MeshInstance> Scenery = new();
        public readonly Pool<Vector3> Outlines = new();
        public readonly Pool<MirrorIndex> MirrorPaths = new();

        public bool LacksReflections { get; set; }

        public void Clear()
        {
            LacksReflections = false;
            Beams.Count = Lasers.Count = Scanners.Count = Surfaces.Count = Pixels.Count = 0;
            Mirrors.Count = Scenery.Count = Outlines.Count = MirrorPaths.Count = 0;
        }
    }

    /// <summary>A growing array that is never given back.</summary>
    private sealed class Pool<T>
        where T : struct
    {
        private T[] _items = [];
        private int _count;

        public int Count
        {
            get => _count;
            set => _count = value;
        }

        public ReadOnlyMemory<T> Memory => _items.AsMemory(0, _count);

        public Span<T> Span => _items.AsSpan(0, _count);

        public void Add(in T item)
        {
            if (_count == _items.Length)
            {
                Array.Resize(ref _items, Math.Max(16, _count * 2));
            }

            _items[_count++] = item;
        }

        /// <summary>Adds <paramref name="count"/> zeroed items and returns them.</summary>
        public Span<T> Extend(int count)
        {
            if (_count + count > _items.Length)
            {
                Array.Resize(ref _items, Math.Max(_count + count, _items.Length * 2));
            }

            var span = _items.AsSpan(_count, count);
            span.Clear();
            _count += count;
            return span;
        }
    }
}
