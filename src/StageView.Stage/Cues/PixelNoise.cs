namespace StageView.Stage.Cues;

/// <summary>Repeatable values from 0 to 1 on a grid, and smooth between.</summary>
internal static class PixelNoise
{
    public static double At(int seed, int x, int y)
    {
        unchecked
        {
            var h = (uint)((x * 374761393) + (y * 668265263) + (seed * 1442695041));
            h = (h ^ (h >> 13)) * 1274126177;
            return ((h ^ (h >> 16)) & 0xFFFFFF) / (double)0x1000000;
        }
    }

    public static double Smooth(int seed, double x, double y)
    {
        int i = (int)Math.Floor(x), j = (int)Math.Floor(y);
        double u = x - i, v = y - j;
        u = u * u * (3 - (2 * u));
        v = v * v * (3 - (2 * v));
        return double.Lerp(double.Lerp(At(seed, i, j), At(seed, i + 1, j), u), double.Lerp(At(seed, i, j + 1), At(seed, i + 1, j + 1), u), v);
    }
}
