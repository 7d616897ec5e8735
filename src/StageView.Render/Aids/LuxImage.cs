namespace StageView.Render.Aids;

/// <summary>Illuminance on the surface seen through each pixel, lx, row by row from the top; negative or not a number where there is none.</summary>
public sealed class LuxImage
{
    public LuxImage(int width, int height, float[] lux)
    {
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(width);
        ArgumentOutOfRangeException.ThrowIfNegativeOrZero(height);
        ArgumentNullException.ThrowIfNull(lux);
        if (lux.Length != (long)width * height)
        {
            throw new ArgumentException($"{width}x{height} needs {(long)width * height} values, not {lux.Length}", nameof(lux));
        }

        (Width, Height, Lux) = (width, height, lux);
    }

    public int Width { get; }

    public int Height { get; }

    public float[] Lux { get; }
}
