namespace StageView.Render.Output;

/// <summary>Sample type of an OpenEXR channel; the values are the file format's own.</summary>
public enum ExrPixelType
{
    /// <summary>16-bit float: 11 bits of precision, 65504 cd/m² at most.</summary>
    Bits16 = 1,

    /// <summary>32-bit float.</summary>
    Bits32 = 2,
}
