namespace StageView.Snapshot;

/// <summary>
/// Draws where and which way a frame changed: the base dimmed to grey, amber where the new frame is brighter, blue where it
/// is darker, green where only the colour turned; the stronger the change the fuller the colour, on a scale that still shows 1 level.
/// Forgiven edges are violet dots, parts left out are hatched.
/// </summary>
public static class DifferencePicture
{
    public static FrameImage Draw(FrameImage before, FrameImage after, ChangeMap map)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        ArgumentNullException.ThrowIfNull(map);
        var picture = new FrameImage(map.Width, map.Height);
        for (var y = 0; y < map.Height; y++)
        {
            for (var x = 0; x < map.Width; x++)
            {
                var a = before.At(x, y);
                var b = after.At(x, y);
                var grey = (byte)(16 + (((a[0] + (2 * a[1]) + a[2]) / 4) * 0.22));
                switch (map[x, y])
                {
                    case PixelChange.Changed or PixelChange.Faint:
                        Paint(picture, x, y, a, b, grey);
                        break;
                    case PixelChange.EdgeJitter:
                        picture.Set(x, y, 120, 80, 150);
                        break;
                    case PixelChange.Ignored when ((x + y) & 7) == 0:
                        picture.Set(x, y, 90, 90, 90);
                        break;
                    default:
                        picture.Set(x, y, grey, grey, grey);
                        break;
                }
            }
        }

        return picture;
    }

    private static void Paint(FrameImage picture, int x, int y, ReadOnlySpan<byte> a, ReadOnlySpan<byte> b, byte grey)
    {
        var (r, g, bl) = (b[0] - a[0], b[1] - a[1], b[2] - a[2]);
        var light = (r + (2 * g) + bl) / 4.0;
        var most = Math.Max(Math.Abs(r), Math.Max(Math.Abs(g), Math.Abs(bl)));
        var strength = 0.35 + (0.65 * Math.Log2(1 + most) / 8);
        var (red, green, blue) = Math.Abs(light) * 4 < most ? (70, 220, 120) : light > 0 ? (255, 176, 32) : (64, 140, 255);
        picture.Set(x, y, Mix(grey, red, strength), Mix(grey, green, strength), Mix(grey, blue, strength));
    }

    private static byte Mix(int from, int to, double share) => (byte)Math.Round(from + ((to - from) * share));
}
