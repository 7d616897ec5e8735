using System.Numerics;
using System.Runtime.CompilerServices;
using StageView.Light.Moments;

namespace StageView.Light.Interreflection;

/// <summary>Where and how a source shines, its level left out: two sources with the same key land alike.</summary>
internal readonly record struct SourceKey
{
    private Beam Beam { get; init; }

    private PixelSurface Surface { get; init; }

    /// <summary>Of the clip's corners and the mirrors met, and of all ways before the last.</summary>
    private int Way { get; init; }

    public static SourceKey Of(Moment moment, in Beam beam)
    {
        var way = new HashCode();
        foreach (var corner in beam.Bounces > 0 ? moment.OutlineOf(beam.Clip) : [])
        {
            way.Add(corner);
        }

        foreach (var mirror in moment.MirrorsOf(beam))
        {
            way.Add(mirror.Value);
        }

        return new SourceKey
        {
            Beam = beam with
            {
                FluxLumens = 1,
                Colour = Vector3.One,
                Throughput = 1,
                Parent = default,
                FirstPathMirror = 0,
                Clip = default,
            },
            Way = way.ToHashCode(),
        };
    }

    public static SourceKey Of(in PixelSurface surface) => new() { Surface = surface with { FirstPixel = 0 } };
}

/// <summary>All of a moment that decides which matt surface sees which, as words to compare.</summary>
internal static class GeometryKey
{
    public static int[] Of(Moment moment, float extinction)
    {
        var words = new List<int> { Word(extinction) };
        foreach (ref readonly var piece in moment.Scenery.Span)
        {
            if (piece.BlocksLight)
            {
                words.Add((uint)piece.Mesh.Value < (uint)moment.Meshes.Count ? RuntimeHelpers.GetHashCode(moment.Meshes[piece.Mesh.Value]) : -1);
                Add(words, piece.Pose.Position);
                Add(words, new Vector3(piece.Pose.Orientation.X, piece.Pose.Orientation.Y, piece.Pose.Orientation.Z));
                words.Add(Word(piece.Pose.Orientation.W));
                Add(words, piece.Scale);
                Add(words, piece.Albedo);
                words.Add((int)piece.Kind);
                words.Add(piece.Fixture.Value);
            }
            else
            {
                words.Add(int.MinValue);
            }
        }

        foreach (ref readonly var mirror in moment.Mirrors.Span)
        {
            Add(words, mirror.Normal);
            Add(words, new Vector3(mirror.Reflectance, mirror.SheetThickness, mirror.SheetIndex));
            foreach (var corner in moment.OutlineOf(mirror.Outline))
            {
                Add(words, corner);
            }
        }

        return [.. words];
    }

    private static int Word(float value) => BitConverter.SingleToInt32Bits(value);

    private static void Add(List<int> words, Vector3 v)
    {
        words.Add(Word(v.X));
        words.Add(Word(v.Y));
        words.Add(Word(v.Z));
    }
}
