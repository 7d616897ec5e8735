using System.Globalization;
using System.Text;
using StageView.Rig.Source;

namespace StageView.Rig.Profiles;

/// <summary>Attribute names of DIN SPEC 15800 (annex of attribute definitions) that StageView acts on, with their units.</summary>
public static class AttributeCatalog
{
    /// <summary>Names with <c>(n)</c> where a number from 1 stands, and the unit of the physical value.</summary>
    private static readonly Dictionary<string, string> Units = new(StringComparer.OrdinalIgnoreCase)
    {
        ["Dimmer"] = "",
        ["Pan"] = "deg", ["Tilt"] = "deg", ["PanRotate"] = "deg/s", ["TiltRotate"] = "deg/s",
        ["XYZ_X"] = "m", ["XYZ_Y"] = "m", ["XYZ_Z"] = "m",
        ["Shutter(n)"] = "", ["Shutter(n)Strobe"] = "Hz", ["Shutter(n)StrobePulse"] = "Hz", ["Shutter(n)StrobePulseOpen"] = "Hz",
        ["Shutter(n)StrobePulseClose"] = "Hz", ["Shutter(n)StrobeRandom"] = "Hz", ["Shutter(n)StrobeRandomPulse"] = "Hz",
        ["Shutter(n)StrobeEffect"] = "Hz", ["StrobeFrequency"] = "Hz",
        ["Shutter(n)StrobeRandomPulseOpen"] = "Hz", ["Shutter(n)StrobeRandomPulseClose"] = "Hz", ["StrobeRate"] = "Hz", ["StrobeDuration"] = "s",
        ["PositionMSpeed"] = "deg/s",
        ["IntensityMSpeed"] = "", ["ColorMixMSpeed"] = "", ["ColorWheelSelectMSpeed"] = "", ["GoboWheel(n)MSpeed"] = "", ["IrisMSpeed"] = "",
        ["Prism(n)MSpeed"] = "", ["FocusMSpeed"] = "", ["Frost(n)MSpeed"] = "", ["ZoomMSpeed"] = "", ["GlobalMSpeed"] = "",
        ["DimmerCurve"] = "", ["DimmerMode"] = "",
        ["StrobeModeShutter"] = "", ["StrobeModeStrobe"] = "", ["StrobeModePulse"] = "", ["StrobeModeRandom"] = "",
        ["StrobeModePulseOpen"] = "", ["StrobeModePulseClose"] = "", ["StrobeModeRandomPulse"] = "", ["StrobeModeRandomPulseOpen"] = "",
        ["StrobeModeRandomPulseClose"] = "", ["StrobeModeEffect"] = "",
        ["Zoom"] = "deg", ["Focus(n)"] = "", ["Iris"] = "", ["Frost(n)"] = "",
        ["IrisStrobe"] = "Hz", ["IrisStrobeRandom"] = "Hz", ["IrisPulse"] = "Hz", ["IrisPulseClose"] = "Hz", ["IrisPulseOpen"] = "Hz",
        ["IrisRandomPulse"] = "Hz", ["IrisRandomPulseClose"] = "Hz", ["IrisRandomPulseOpen"] = "Hz",
        ["Frost(n)PulseOpen"] = "Hz", ["Frost(n)PulseClose"] = "Hz", ["Frost(n)Ramp"] = "Hz",
        ["ColorAdd_R"] = "", ["ColorAdd_G"] = "", ["ColorAdd_B"] = "", ["ColorAdd_W"] = "", ["ColorAdd_WW"] = "", ["ColorAdd_CW"] = "",
        ["ColorAdd_C"] = "", ["ColorAdd_M"] = "", ["ColorAdd_Y"] = "", ["ColorAdd_RY"] = "", ["ColorAdd_GY"] = "", ["ColorAdd_GC"] = "",
        ["ColorAdd_BC"] = "", ["ColorAdd_BM"] = "", ["ColorAdd_RM"] = "", ["ColorAdd_UV"] = "",
        ["ColorSub_C"] = "", ["ColorSub_M"] = "", ["ColorSub_Y"] = "",
        ["ColorRGB_Red"] = "", ["ColorRGB_Green"] = "", ["ColorRGB_Blue"] = "",
        ["ColorRGB_Cyan"] = "", ["ColorRGB_Magenta"] = "", ["ColorRGB_Yellow"] = "",
        ["HSB_Hue"] = "deg", ["HSB_Saturation"] = "", ["HSB_Brightness"] = "", ["CIE_Brightness"] = "", ["CIE_X"] = "", ["CIE_Y"] = "",
        ["CTO"] = "K", ["CTC"] = "K", ["CTB"] = "K", ["Tint"] = "",
        ["Color(n)"] = "", ["Color(n)WheelIndex"] = "deg", ["Color(n)WheelSpin"] = "deg/s", ["Color(n)WheelRandom"] = "Hz", ["ColorMacro(n)"] = "",
        ["Gobo(n)"] = "", ["Gobo(n)Pos"] = "deg", ["Gobo(n)PosRotate"] = "deg/s", ["Gobo(n)WheelIndex"] = "deg", ["Gobo(n)WheelSpin"] = "deg/s",
        ["Gobo(n)WheelRandom"] = "Hz", ["Gobo(n)SelectSpin"] = "deg/s", ["Gobo(n)SelectShake"] = "Hz", ["Gobo(n)WheelShake"] = "Hz", ["Gobo(n)PosShake"] = "Hz",
        ["Prism(n)"] = "", ["Prism(n)Pos"] = "deg", ["Prism(n)PosRotate"] = "deg/s", ["Prism(n)SelectSpin"] = "deg/s",
        ["Blade(n)A"] = "", ["Blade(n)B"] = "", ["Blade(n)Rot"] = "deg", ["ShaperRot"] = "deg",
        ["AnimationWheel(n)"] = "", ["AnimationWheel(n)Pos"] = "deg", ["AnimationWheel(n)PosRotate"] = "deg/s",
        ["Fog(n)"] = "", ["Haze(n)"] = "", ["Fan(n)"] = "", ["Control(n)"] = "", ["Function"] = "", ["NoFeature"] = "", ["Dummy"] = "",
    };

    /// <summary>Names that are known, and change no light here.</summary>
    private static readonly HashSet<string> WithoutEffect = new(StringComparer.OrdinalIgnoreCase)
    {
        "Fog(n)", "Haze(n)", "Fan(n)", "Control(n)", "Function", "XYZ_X", "XYZ_Y",
    };

    public static IEnumerable<string> Names => Units.Keys;

    /// <summary>The unit of its physical value ("" for a plain share), or null when the name isn't in the catalogue.</summary>
    public static string? UnitOf(string attribute) => Units.GetValueOrDefault(General(attribute))
        ?? (attribute.StartsWith("ColorAdd_", StringComparison.OrdinalIgnoreCase) ? "" : IsTime(attribute) ? "s" : null);

    /// <summary>A name of our own beside each speed: <c>PositionMTime</c> is the time that a move takes.</summary>
    private static bool IsTime(string attribute) => attribute.EndsWith("MTime", StringComparison.OrdinalIgnoreCase)
        && Units.ContainsKey(General(attribute[..^4] + "Speed"));

    /// <summary>Whether it changes light or motion, or means to change nothing (<c>NoFeature</c>).</summary>
    public static bool IsSimulated(string attribute) => UnitOf(attribute) is not null && !WithoutEffect.Contains(General(attribute));

    /// <summary><c>Gobo1Pos</c> → <c>Gobo(n)Pos</c>.</summary>
    public static string General(string attribute)
    {
        var b = new StringBuilder();
        for (var i = 0; i < attribute.Length; i++)
        {
            if (char.IsAsciiDigit(attribute[i]))
            {
                while (i + 1 < attribute.Length && char.IsAsciiDigit(attribute[i + 1]))
                {
                    i++;
                }

                b.Append("(n)");
            }
            else
            {
                b.Append(attribute[i]);
            }
        }

        return b.ToString();
    }

    /// <summary>" did you mean X?" for a name that isn't in the catalogue.</summary>
    internal static string Hint(string attribute) =>
        Nearest.Hint(General(attribute), Units.Keys).Replace("(n)", 1.ToString(CultureInfo.InvariantCulture), StringComparison.Ordinal);
}
