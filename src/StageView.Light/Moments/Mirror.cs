using System.Numerics;
using StageView.Ground.Indices;

namespace StageView.Light.Moments;

/// <summary>A flat mirror at this instant.</summary>
public readonly record struct Mirror
{
    /// <summary>Its name, in <see cref="Moment.MirrorNames"/>.</summary>
    public NameIndex Name { get; init; }

    /// <summary>The front face's outline, in <see cref="Moment.Outlines"/>, counter-clockwise seen from the reflecting side.</summary>
    public Outline Outline { get; init; }

    /// <summary>Unit normal on the reflecting side.</summary>
    public Vector3 Normal { get; init; }

    /// <summary>Reflectance of the metal layer, 0 to 1.</summary>
    public float Reflectance { get; init; }

    /// <summary>Thickness of the clear sheet in front of the metal, m; 0 for a first-surface mirror.</summary>
    public float SheetThickness { get; init; }

    /// <summary>Refractive index of that sheet, 1 for a first-surface mirror.</summary>
    public float SheetIndex { get; init; }
}
