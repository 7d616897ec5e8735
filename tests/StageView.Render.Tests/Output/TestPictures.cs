using System.Numerics;
using StageView.Render.Output;

namespace StageView.Render.Tests.Output;

internal static class TestPictures
{
    /// <summary>
    /// Seeded light of all magnitudes: noise in the first 16 rows, which no compression shrinks, even light below; with exact zeros, a very bright pixel and,
    /// where asked, negative components.
    /// </summary>
    public static LinearImage Light(int width, int height, bool negative = false)
    {
        var random = new Random(7);
        var image = new LinearImage(width, height);
        for (var y = 0; y < height; y++)
        {
            for (var x = 0; x < width; x++)
            {
                var level = MathF.Pow(10, (random.NextSingle() * 6) - 2);
                var c = new Vector3(random.NextSingle(), random.NextSingle(), random.NextSingle()) * level;
                c = y < 16 ? c : new Vector3(x, y, 3) * (0.01f * (1 + (y / 8)));
                image[x, y] = x < 3 ? Vector3.Zero : negative && random.Next(8) == 0 ? c with { Y = -c.Y * 0.2f } : c;
            }
        }

        image[width - 1, height - 1] = new Vector3(60000, 1, 30000);
        return image;
    }
}
