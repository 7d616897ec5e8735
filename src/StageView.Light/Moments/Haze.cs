namespace StageView.Light.Moments;

/// <summary>The air.</summary>
/// <param name="ExtinctionPerMetre">σt, 1/m; about .01 to .03 for a normally hazed stage (common practice, no source). 0 is clear air.</param>
/// <param name="Albedo">Share of the extinction that scatters, 0 to 1.</param>
/// <param name="Anisotropy">Henyey-Greenstein g, -1 to 1; haze about .6 to .85.</param>
/// <param name="Unevenness">0 for even haze, up to 1 for patches that reach from clear to double.</param>
/// <param name="PatchMetres">Size of the patches, m.</param>
/// <param name="DriftX">Drift, m/s along X.</param>
/// <param name="DriftY">Drift, m/s along Y.</param>
/// <param name="DriftZ">Drift, m/s along Z.</param>
/// <param name="Seed">Seed of the pattern.</param>
/// <param name="Fill">Whether light that is scattered more than once counts.</param>
public readonly record struct Haze(
    float ExtinctionPerMetre,
    float Albedo,
    float Anisotropy,
    float Unevenness = 0,
    float PatchMetres = 2,
    float DriftX = 0,
    float DriftY = 0,
    float DriftZ = 0,
    int Seed = 0,
    bool Fill = false)
{
    public static Haze None => new(0, 1, 0);

    /// <summary>σs, 1/m.</summary>
    public float ScatteringPerMetre => ExtinctionPerMetre * Albedo;
}
