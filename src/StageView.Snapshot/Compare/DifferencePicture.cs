using StageView.Snapshot.Images;

namespace StageView.Snapshot.Compare;

/// <summary>
/// Draws where and which way a frame changed: the base dimmed to grey, amber where the new frame is brighter, blue where it
/// is darker, green where only the colour turned; the stronger the change the fuller the colour, on a scale that still shows 1 level.
/// Forgiven edges are violet dots, parts left out are hatched.
/// </summary>
public static class DifferencePicture
{
    private const int RowsAtOnce = 64;

    public static FrameImage Draw(FrameImage before, FrameImage after, ChangeMap map)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        ArgumentNullException.ThrowIfNull(map);
        var picture = new FrameImage(map.Width, map.Height, FrameBuffers.Rent(4 * map.Width * map.Height));
        var (a, b) = (before.Rgba, after.Rgba);
        Parallel.For(0, (map.Height + RowsAtOnce - 1) / RowsAtOnce, part =>
        {
            for (var i = part * RowsAtOnce * map.Width; i < Math.Min((part + 1) * RowsAtOnce, map.Height) * map.Width; i++)
            {
                var at = 4 * i;
                // Few greys pack small: the base is there for orientation only.
                var grey = (byte)(16 + ((((a[at] + (2 * a[at + 1]) + a[at + 2]) >> 2) * 56 >> 8) & ~1));
                switch (map.Pixels[i])
                {
                    case PixelChange.Changed or PixelChange.Faint:
                        Paint(picture.Rgba, at, a, b, grey);
                        break;
                    case PixelChange.EdgeJitter:
                        Set(picture.Rgba, at, 120, 80, 150);
                        break;
                    case PixelChange.Ignored when (((i % map.Width) + (i / map.Width)) & 7) == 0:
                        Set(picture.Rgba, at, 90, 90, 90);
                        break;
                    default:
                        Set(picture.Rgba, at, grey, grey, grey);
                        break;
                }
            }
        });
        return picture;
    }

    private static readonly double[] _strength = [.. Enumerable.Range(0, 256).Select(d => 0.35 + (0.65 * Math.Log2(1 + d) / 8))];

    private static void Paint(byte[] picture, int at, byte[] a, byte[] b, byte grey)
    {
        var (r, g, bl) = (b[at] - a[at], b[at + 1] - a[at + 1], b[at + 2] - a[at + 2]);
        var light = r + (2 * g) + bl;
        var most = Math.Max(Math.Abs(r), Math.Max(Math.Abs(g), Math.Abs(bl)));
        var strength = _strength[most];
        var (red, green, blue) = Math.Abs(light) < most ? (70, 220, 120) : light > 0 ? (255, 176, 32) : (64, 140, 255);
        Set(picture, at, Mix(grey, red, strength), Mix(grey, green, strength), Mix(grey, blue, strength));
    }

    private static void Set(byte[] picture, int at, byte r, byte g, byte b) =>
        (picture[at], picture[at + 1], picture[at + 2], picture[at + 3]) = (r, g, b, 255);

    private static byte Mix(int from, int to, double share) => (byte)(from + ((to - from) * share) + 0.5);
}
