using System.Numerics;

namespace StageView.Light.Moments;

/// <summary>Pictures on a mesh: reflectance that varies over it. A piece's albedo is the mean; the picture says how it is shared out.</summary>
public sealed record MeshPaint
{
    /// <summary>For each position of the mesh: u, v (0, 0 at the picture's top left, repeating), and the picture's number.</summary>
    public required Vector3[] At { get; init; }

    /// <summary>Pixels a side of every picture.</summary>
    public required int Size { get; init; }

    /// <summary>How many pictures.</summary>
    public required int Count { get; init; }

    /// <summary>Linear Rec.709 reflectance, 3 bytes a pixel, row by row from the top, picture after picture.</summary>
    public required byte[] Rgb { get; init; }

    /// <summary>Mean reflectance over the mesh's surface, linear Rec.709.</summary>
    public required Vector3 Mean { get; init; }

    /// <summary>Reflectance of a picture at u, v: the nearest pixel.</summary>
    public Vector3 Sample(Vector3 at)
    {
        int Pixel(float x) => Math.Clamp((int)((x - MathF.Floor(x)) * Size), 0, Size - 1);
        var i = 3 * ((((Math.Clamp((int)at.Z, 0, Count - 1) * Size) + Pixel(at.Y)) * Size) + Pixel(at.X));
        return new Vector3(Rgb[i], Rgb[i + 1], Rgb[i + 2]) / 255;
    }
}
