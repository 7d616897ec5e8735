namespace StageView.Render.Settings;

/// <summary>
/// How finely the light in the haze is worked out; surfaces are the same at every level. <c>docs/design/haze-quality.md</c> has each level's bound.
/// </summary>
public enum RenderQuality
{
    /// <summary>Haze at half the resolution with few points: for aiming and programming.</summary>
    Draft,

    /// <summary>Every pixel, points where the light is.</summary>
    Normal,

    /// <summary>More points, shadows and gobos followed in finer steps.</summary>
    Fine,
}
