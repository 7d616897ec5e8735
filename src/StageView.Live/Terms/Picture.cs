namespace StageView.Live.Terms;

/// <summary>One drawn picture and what is known of its age; the pixels are reused, never shared between viewers.</summary>
internal sealed class Picture
{
    /// <summary>Red, green, blue, alpha; row by row from the top; Width × Height × 4 bytes are valid.</summary>
    public byte[] Rgba { get; set; } = [];

    public int Width { get; set; }

    public int Height { get; set; }

    /// <summary>Show time of the moment drawn, s.</summary>
    public double ShowSeconds { get; set; }

    /// <summary><see cref="TimeProvider.GetTimestamp"/> at which the newest packet in this picture came in, or 0 when no level came yet.</summary>
    public long NewestArrival { get; set; }

    /// <summary><see cref="TimeProvider.GetTimestamp"/> from before the state drawn was read.</summary>
    public long StateAt { get; set; }

    /// <summary>Changes whenever the drawn moment does.</summary>
    public ulong Fingerprint { get; set; }

    /// <summary>Changes whenever something else does than the place of drifting haze.</summary>
    public ulong Essence { get; set; }

    /// <summary>How long the renderer took, ms.</summary>
    public float DrawMilliseconds { get; set; }

    /// <summary>The marker level drawn into the corner, or -1.</summary>
    public int Marker { get; set; } = -1;

    public void Resize(int width, int height)
    {
        Width = width;
        Height = height;
        if (Rgba.Length < width * height * 4)
        {
            Rgba = new byte[width * height * 4];
        }
    }

    /// <summary>The same picture, with pixels of its own.</summary>
    public Picture Copy()
    {
        var copy = (Picture)MemberwiseClone();
        copy.Rgba = Rgba[..(Width * Height * 4)];
        return copy;
    }
}
