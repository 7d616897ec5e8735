namespace StageView.Rig.Profiles;

/// <summary>What a mirror reflects with, in a fixture or hung by itself.</summary>
/// <param name="Reflectance">Of the metal layer, 0 to 1.</param>
/// <param name="SheetThickness">Clear sheet before the metal, m; 0 for first-surface.</param>
/// <param name="SheetIndex">Refractive index of the sheet.</param>
public sealed record MirrorSurface(float Reflectance, float SheetThickness, float SheetIndex);
