namespace StageView.Render.Aids;

/// <summary>What may be painted on a finished picture so that it can be read.</summary>
[Flags]
public enum ReadingAids
{
    None = 0,

    /// <summary>Each fixture's name.</summary>
    Names = 1,

    /// <summary>The axis of each beam from the lens to where it lands; reflected legs dashed.</summary>
    Axes = 2,

    /// <summary>Where each beam lands: a cross in a ring, in a square after a mirror, with the illuminance there.</summary>
    Landings = 4,

    /// <summary>Each fixture's universe as a number on a plate of that universe's colour.</summary>
    Universes = 8,

    /// <summary>Luminances of the picture's greys, and how many pixels saturate.</summary>
    Exposure = 16,

    /// <summary>False colour of the illuminance on surfaces, with its scale and numbered contours.</summary>
    Illuminance = 32,
}
