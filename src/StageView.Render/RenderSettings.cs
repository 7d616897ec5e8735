namespace StageView.Render;

/// <summary>How a picture is made; what it shows lies in the moment and the camera.</summary>
public sealed record RenderSettings
{
    /// <summary>Pixels, 16 to 8192.</summary>
    public int Width { get; init; } = 1280;

    /// <summary>Pixels, 16 to 8192.</summary>
    public int Height { get; init; } = 720;

    /// <summary>Even work light on every surface, lx, so that a blackout isn't a black picture; 0 for none.</summary>
    public float WorkLightLux { get; init; }

    /// <summary>Also hand back the picture in cd/m².</summary>
    public bool Linear { get; init; }

    /// <summary>Hand back the finished picture; off saves the tone pass and its read-back when only cd/m² are wanted.</summary>
    public bool Screen { get; init; } = true;
}
