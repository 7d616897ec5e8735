namespace StageView.Rig.Source;

/// <summary>What a file is to a rig.</summary>
public enum SourceFileKind
{
    /// <summary>The scene file that was asked for.</summary>
    Rig,

    /// <summary>A scene file that another one includes.</summary>
    Include,

    /// <summary>A venue laid over the rig.</summary>
    Venue,

    /// <summary>A fixture profile, JSON or GDTF.</summary>
    Profile,

    /// <summary>A model of scenery, and what it refers to.</summary>
    Model,

    /// <summary>A gobo's picture.</summary>
    Gobo,

    /// <summary>A laser's figure: an ILDA file.</summary>
    Figure,

    /// <summary>Measured intensities: IES LM-63 or EULUMDAT.</summary>
    Photometry,

    /// <summary>A picture or video on pixel surfaces; an image sequence stands by its pattern.</summary>
    Content,

    /// <summary>A map from pixels to places in a picture.</summary>
    PixelMap,

    /// <summary>A picture that says where frames are compared.</summary>
    Mask,
}

/// <summary>A file that a rig depends on.</summary>
/// <param name="FullPath">Where it lies, or would lie.</param>
/// <param name="Kind">What it is to the rig.</param>
/// <param name="Found">Whether it was there when the rig was read. One that wasn't was looked for, and would be read now.</param>
public sealed record SourceFile(string FullPath, SourceFileKind Kind, bool Found);
