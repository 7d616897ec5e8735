namespace StageView.Rig.Profiles;

/// <summary>Why an attribute of DIN SPEC 15800, annex A, changes nothing here.</summary>
public static class WhyNotSimulated
{
    private const string Inside = "its content is made inside the fixture, no file says what it looks like";
    private const string Control = "a control channel: it sets how the fixture runs";
    private const string Media = "pictures of media servers and projectors are not played";
    private const string Place = "it moves no part of the fixture";

    /// <summary>By the name's beginning; the longest that fits counts.</summary>
    private static readonly (string Begin, string Why)[] Begins =
    [
        ("Control", Control), ("Function", Control), ("Lamp", Control), ("LED", Control), ("Display", Control), ("DMXInput", Control), ("Fixture", Control),
        ("Fan", Control), ("Pixel", Control), ("Position", Control), ("CRI", Control), ("CustomColor", Control), ("UVStability", Control),
        ("WaveLengthCorrection", Control), ("WhiteCount", Control), ("ColorControl", Control), ("ColorUniformity", Control), ("ColorConsistency", Control),
        ("ReflectorAdjust", Control), ("ColorRGB_Quality", Control), ("HSB_Quality", Control),
        ("Fog", "fog machines are not simulated; the rig's haze is"), ("Haze", "fog machines are not simulated; the rig's haze is"),
        ("Blower", "fog machines are not simulated; the rig's haze is"),
        ("Video", Media), ("Media", Media), ("Model", Media), ("Play", Media), ("InputSource", Media), ("FieldOfView", Media), ("DigitalZoom", Media),
        ("Effects", Inside), ("ColorEffects", Inside), ("ColorMacro", Inside), ("PositionEffect", Inside), ("Shaper", Inside), ("BeamShaper", Inside),
        ("Macro", Inside), ("BeamEffect", Inside),
        ("XYZ_", Place), ("Rot_", Place), ("Scale_", Place),
        ("Blade", "this function of framing blades is not simulated"), ("KeyStone", "a picture's keystone is not simulated"),
        ("AnimationSystem", "animation systems are not simulated"), ("AnimationWheel", "this function of an animation wheel is not simulated"),
        ("ColorSub_", "flags of this colour are not simulated"), ("Zoom", "this function of a zoom is not simulated"),
        ("Focus", "this function of a focus is not simulated"),
    ];

    private static readonly (string End, string Why)[] Ends =
    [
        ("Audio", "it follows sound, and StageView hears none"), ("Reset", Control), ("Mode", Control), ("Modes", Control), ("Macro", Inside),
        ("SelectEffects", Inside), ("MacroRate", Inside), ("MSpeed", "the speed of what is not simulated"),
    ];

    /// <summary>A reason to stand after "not simulated: ", without a full stop.</summary>
    public static string Of(string attribute)
    {
        ArgumentNullException.ThrowIfNull(attribute);
        foreach (var (end, why) in Ends)
        {
            if (attribute.EndsWith(end, StringComparison.OrdinalIgnoreCase))
            {
                return why;
            }
        }

        return Begins.Where(b => attribute.StartsWith(b.Begin, StringComparison.OrdinalIgnoreCase)).OrderByDescending(b => b.Begin.Length)
            .Select(b => b.Why).FirstOrDefault() ?? "no attribute that StageView knows";
    }

    /// <summary>Why a macro's set makes no colour here.</summary>
    /// <param name="set">The set's name.</param>
    public static string OfMacro(string set) => set is { Length: > 0 }
        ? $"the file does not say what \"{set}\" looks like" : "no set of the file covers this value";
}
