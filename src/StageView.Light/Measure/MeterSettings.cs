namespace StageView.Light.Measure;

/// <summary>How light is measured.</summary>
/// <param name="ThroughHaze">Whether haze takes its share on the way: e^(-σt·s) with s the unfolded path length from the lens. Patches are read as their
/// mean.</param>
/// <param name="Reflected">Whether beams off mirrors count.</param>
/// <param name="PixelSurfaces">Whether pixel surfaces count.</param>
/// <param name="LensSize">Whether lenses have a size; as points they give more light near them, so what warns asks for points.</param>
/// <param name="ThrownForward">Whether what haze takes out of a direct beam and throws on counts where it falls (<see cref="ForwardScatter"/>).</param>
public readonly record struct MeterSettings(
    bool ThroughHaze = true, bool Reflected = true, bool PixelSurfaces = true, bool LensSize = true, bool ThrownForward = true)
{
    public static MeterSettings Default => new(true, true, true);

    /// <summary>As a plan is calculated on paper: clear air.</summary>
    public static MeterSettings ClearAir => new(false, true, true);
}
