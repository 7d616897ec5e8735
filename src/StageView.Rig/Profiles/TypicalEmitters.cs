namespace StageView.Rig.Profiles;

/// <summary>
/// Colours of emitters where nobody states them: Rec.709's primaries for red, green and blue (BT.709), typical chromaticities of LED colours for the others
/// (common practice, no source).
/// </summary>
public static class TypicalEmitters
{
    /// <summary>Names that data sheets use, with the ending of their attribute (DIN SPEC 15800, ColorAdd_…).</summary>
    public static IReadOnlyList<(string Name, string Ending)> Names { get; } =
    [
        ("Red", "R"), ("Green", "G"), ("Blue", "B"), ("White", "W"), ("Warm white", "WW"), ("Cold white", "CW"), ("Amber", "RY"), ("Lime", "GY"),
        ("Yellow", "Y"), ("Cyan", "C"), ("Magenta", "M"), ("UV", "UV"),
    ];

    /// <summary>CIE 1931 x, y, and its luminous flux beside the others'.</summary>
    /// <param name="colour">A name, or the ending of its attribute.</param>
    public static (float X, float Y, float Share) Of(ReadOnlySpan<char> colour) => colour switch
    {
        "R" or "Red" => (.640f, .330f, .2126f),
        "G" or "Green" => (.300f, .600f, .7152f),
        "B" or "Blue" => (.150f, .060f, .0722f),
        "A" or "RY" or "Amber" => (.575f, .420f, .4f),
        "GY" or "Lime" => (.408f, .560f, .8f),
        "Y" or "Yellow" => (.430f, .510f, .9f),
        "C" or "GC" or "BC" or "Cyan" => (.130f, .340f, .5f),
        "M" or "BM" or "RM" or "Magenta" => (.320f, .150f, .3f),
        "UV" => (.170f, .010f, .005f),
        "WW" or "Warm white" => (.4578f, .4101f, 1f),
        _ => (.3127f, .3290f, 1f),
    };
}
