using System.Globalization;

namespace StageView.Show.Frames;

/// <summary>Width and height of a picture in pixels, written <c>1280x720</c>; each 16 to 8192.</summary>
public readonly record struct FrameSize(int Width, int Height)
{
    public static FrameSize Default => new(1280, 720);

    public static bool TryParse(string text, out FrameSize size)
    {
        size = default;
        var x = text.IndexOf('x', StringComparison.OrdinalIgnoreCase);
        if (x < 1
            || !int.TryParse(text.AsSpan(0, x), NumberStyles.None, CultureInfo.InvariantCulture, out var w)
            || !int.TryParse(text.AsSpan(x + 1), NumberStyles.None, CultureInfo.InvariantCulture, out var h)
            || w is < 16 or > 8192 || h is < 16 or > 8192)
        {
            return false;
        }

        size = new FrameSize(w, h);
        return true;
    }
}
