using System.Numerics;
using StageView.Light.Moments;

namespace StageView.Rig.ModelReaders;

/// <summary>Gathers the pictures of a model into one list of equal size, each with its material's factor.</summary>
internal sealed class PaintMaker
{
    /// <summary>Pictures of one model; what goes beyond shows the first plain one.</summary>
    private const int MostPictures = 48;
    private const int PlainSize = 16;
    private readonly List<(int Size, byte[] Rgb)> _pictures = [];
    private readonly Dictionary<(int Image, Vector3 Factor), int> _known = [];

    /// <summary>Whether any has a picture: a mesh of plain colours alone stays as it is.</summary>
    public bool HasPictures { get; private set; }

    /// <summary>Number of the picture for an image with a factor; the image is decoded once.</summary>
    /// <param name="image">Its number in the file, or -1 for a plain colour.</param>
    /// <param name="factor">Linear Rec.709.</param>
    /// <param name="decode">Size and linear pixels of the image, or null where it can't be had.</param>
    public int Add(int image, Vector3 factor, Func<(int Size, byte[] Rgb)?> decode)
    {
        if (_known.TryGetValue((image, factor), out var known))
        {
            return known;
        }

        if (_pictures.Count >= MostPictures)
        {
            return 0;
        }

        var picture = image >= 0 ? decode() : null;
        HasPictures |= picture is not null;
        var (size, rgb) = picture ?? (PlainSize, [.. Enumerable.Repeat((byte)255, 3 * PlainSize * PlainSize)]);
        var scaled = new byte[rgb.Length];
        for (var i = 0; i < rgb.Length; i++)
        {
            scaled[i] = (byte)MathF.Round(rgb[i] * factor[i % 3]);
        }

        _pictures.Add((size, scaled));
        return _known[(image, factor)] = _pictures.Count - 1;
    }

    /// <param name="mesh">The mesh.</param>
    /// <param name="at">u, v and picture of each of its positions.</param>
    public MeshPaint Make(SceneMesh mesh, Vector3[] at)
    {
        var size = _pictures.Max(p => p.Size);
        var rgb = new byte[3 * size * size * _pictures.Count];
        for (var n = 0; n < _pictures.Count; n++)
        {
            Fit(_pictures[n], size, rgb.AsSpan(3 * size * size * n));
        }

        var paint = new MeshPaint { At = at, Size = size, Count = _pictures.Count, Rgb = rgb, Mean = Vector3.Zero };
        return paint with { Mean = Mean(mesh, paint) };
    }

    /// <summary>To a larger size: the pixel that covers each.</summary>
    private static void Fit((int Size, byte[] Rgb) from, int size, Span<byte> to)
    {
        for (var y = 0; y < size; y++)
        {
            for (var x = 0; x < size; x++)
            {
                var source = 3 * ((y * from.Size / size * from.Size) + (x * from.Size / size));
                from.Rgb.AsSpan(source, 3).CopyTo(to[(3 * ((y * size) + x))..]);
            }
        }
    }

    /// <summary>By area, from the middles of sixteen equal parts of each triangle.</summary>
    private static Vector3 Mean(SceneMesh mesh, MeshPaint paint)
    {
        const int Steps = 4;
        var (sum, area) = (Vector3.Zero, 0f);
        for (var i = 0; i + 2 < mesh.Indices.Length; i += 3)
        {
            var (a, b, c) = (mesh.Indices[i], mesh.Indices[i + 1], mesh.Indices[i + 2]);
            var size = Vector3.Cross(mesh.Positions[b] - mesh.Positions[a], mesh.Positions[c] - mesh.Positions[a]).Length();
            var colour = Vector3.Zero;
            void Take(float u, float v)
            {
                var at = paint.At[a] + (u * (paint.At[b] - paint.At[a])) + (v * (paint.At[c] - paint.At[a]));
                colour += paint.Sample(at with { Z = paint.At[a].Z });
            }

            for (var x = 0; x < Steps; x++)
            {
                for (var y = 0; x + y < Steps; y++)
                {
                    Take((x + (1 / 3f)) / Steps, (y + (1 / 3f)) / Steps);
                    if (x + y + 1 < Steps)
                    {
                        Take((x + (2 / 3f)) / Steps, (y + (2 / 3f)) / Steps);
                    }
                }
            }

            sum += colour * size;
            area += size * Steps * Steps;
        }

        return area > 0 ? sum / area : new Vector3(.2f);
    }
}
