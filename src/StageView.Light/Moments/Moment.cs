namespace StageView.Light.Moments;

using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Photometry;
using StageView.Light.Scans;

/// <summary>
/// All the light there is at one instant, in world coordinates: what the numbers and the pictures are both read from.
/// Immutable to its readers; made by <c>MomentBuilder</c> from pooled memory and valid until that builder has
/// built two further moments.
/// </summary>
public sealed class Moment
{
    /// <summary>Show time of this instant.</summary>
    public TimeSpan Time { get; internal set; }

    /// <summary>Direct and reflected beams with flux above zero.</summary>
    public ReadOnlyMemory<Beam> Beams { get; internal set; }

    /// <summary>Whether reflected beams are missing because there would have been more beams than are made.</summary>
    public bool LacksReflections { get; internal set; }

    /// <summary>What is missing because of a bound, in words; null when nothing is.</summary>
    public string? LeftOut => LacksReflections ? $"light is missing: reflections past {Beams.Length} beams" : null;

    public ReadOnlyMemory<PixelSurface> PixelSurfaces { get; internal set; }

    /// <summary>Luminance of every pixel, linear Rec.709 in cd/m² (luminance = .2126 R + .7152 G + .0722 B).</summary>
    public ReadOnlyMemory<Vector3> Pixels { get; internal set; }

    /// <summary>Every leg of every laser ray; a scanned figure has many.</summary>
    public ReadOnlyMemory<LaserBeam> Lasers { get; internal set; }

    /// <summary>The lasers among them that draw figures.</summary>
    public ReadOnlyMemory<LaserScanner> Scanners { get; internal set; }

    public ReadOnlyMemory<Mirror> Mirrors { get; internal set; }

    public ReadOnlyMemory<MeshInstance> Scenery { get; internal set; }

    /// <summary>World points of all outlines.</summary>
    public ReadOnlyMemory<Vector3> Outlines { get; internal set; }

    /// <summary>The mirrors of all reflected beams' ways, one way after the other; <see cref="MirrorsOf"/> reads one.</summary>
    public ReadOnlyMemory<MirrorIndex> MirrorPaths { get; internal set; }

    public Haze Haze { get; internal set; }

    /// <summary>Meshes that the scenery refers to; the same list in every moment of a rig.</summary>
    public IReadOnlyList<SceneMesh> Meshes { get; internal set; } = [];

    /// <summary>Gobo images that beams refer to (1-based); the same list in every moment of a rig but for pictures that are thrown, which stand last.</summary>
    public IReadOnlyList<GoboImage> GoboImages { get; internal set; } = [];

    /// <summary>How many of <see cref="GoboImages"/>, the last, are pictures thrown at this instant.</summary>
    public int ThrownImages { get; internal set; }

    /// <summary>Figures that scanners refer to (1-based); the same list in every moment of a rig.</summary>
    public IReadOnlyList<LaserScan> Scans { get; internal set; } = [];

    /// <summary>Photometric webs that profiles refer to.</summary>
    public IReadOnlyList<PhotometricWeb> Webs { get; internal set; } = [];

    public IReadOnlyList<string> MirrorNames { get; internal set; } = [];

    public IReadOnlyList<string> SceneryNames { get; internal set; } = [];

    public ref readonly Beam this[BeamIndex beam] => ref Beams.Span[beam.Value];

    public ref readonly Mirror this[MirrorIndex mirror] => ref Mirrors.Span[mirror.Value];

    public ref readonly MeshInstance this[InstanceIndex instance] => ref Scenery.Span[instance.Value];

    public ReadOnlySpan<Vector3> OutlineOf(Outline outline) => Outlines.Span.Slice(outline.First, outline.Count);

    /// <summary>The mirrors that a beam of this moment met, first met first.</summary>
    public ReadOnlySpan<MirrorIndex> MirrorsOf(in Beam beam) => MirrorPaths.Span.Slice(beam.FirstPathMirror, beam.Bounces);

    /// <summary>The mirror that a beam of this moment shines from; none for a direct beam.</summary>
    public MirrorIndex LastMirrorOf(in Beam beam) => beam.Bounces == 0 ? MirrorIndex.None : MirrorPaths.Span[beam.FirstPathMirror + beam.Bounces - 1];
}
