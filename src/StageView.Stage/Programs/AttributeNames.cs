using System.Globalization;

namespace StageView.Stage.Programs;

/// <summary>DIN SPEC 15800 attribute names and the units of their physical values.</summary>
public static class AttributeNames
{
    /// <summary>Reads a name; numbers in it (the n of <c>Gobo(n)Pos</c>) become <paramref name="number"/>, 1 when there is none.</summary>
    public static AttributeOp Read(string name, out int number)
    {
        number = 1;
        Span<char> key = stackalloc char[Math.Min(name.Length, 64)];
        var length = 0;
        var digits = 0;
        var seen = false;
        for (var i = 0; i < name.Length && length < key.Length; i++)
        {
            if (char.IsAsciiDigit(name[i]))
            {
                digits = Math.Min((digits * 10) + name[i] - '0', 999);
                seen = true;
            }
            else
            {
                key[length++] = char.ToLowerInvariant(name[i]);
            }
        }

        if (seen && digits > 0)
        {
            number = digits;
        }

        return Lookup(key[..length].ToString());
    }

    /// <summary>Unit that the physical value is written with, empty for a share from 0 to 1.</summary>
    public static string UnitOf(AttributeOp op) => op switch
    {
        AttributeOp.Pan or AttributeOp.Tilt or AttributeOp.Zoom or AttributeOp.GoboAngle or AttributeOp.PrismAngle or AttributeOp.AnimationAngle
            or AttributeOp.ColourWheelIndex or AttributeOp.GoboWheelIndex or AttributeOp.Hue
            or AttributeOp.BladeTurn or AttributeOp.BladesTurn => "deg",
        AttributeOp.PanTurn or AttributeOp.TiltTurn or AttributeOp.GoboTurn or AttributeOp.PrismTurn or AttributeOp.AnimationTurn
            or AttributeOp.ColourWheelSpin or AttributeOp.GoboWheelSpin or AttributeOp.GoboSelectTurn or AttributeOp.PrismSelectTurn => "deg/s",
        AttributeOp.Strobe or AttributeOp.StrobePulse or AttributeOp.StrobePulseOpening or AttributeOp.StrobePulseClosing
            or AttributeOp.StrobeRandom or AttributeOp.StrobeRandomPulse or AttributeOp.StrobeRandomOpening or AttributeOp.StrobeRandomClosing
            or AttributeOp.StrobeFrequency or AttributeOp.GoboShake or AttributeOp.ColourWheelRandom or AttributeOp.GoboWheelRandom => "Hz",
        (>= AttributeOp.IrisStrobe and <= AttributeOp.IrisRandomClosing) or (>= AttributeOp.FrostRamp and <= AttributeOp.FrostPulseClosing) => "Hz",
        AttributeOp.StrobeDuration => "s",
        AttributeOp.Temperature => "K",
        AttributeOp.Travel => "m",
        _ => "",
    };

    /// <summary>
    /// The same where the range decides: temperatures that a flag may reach are K, or shares of the flag; focus is m, or a share of its travel.
    /// </summary>
    public static string UnitOf(AttributeOp op, float physicalFrom, float physicalTo)
    {
        var most = Math.Max(physicalFrom, physicalTo);
        return op switch
        {
            AttributeOp.ToOrange or AttributeOp.ToBlue => most > 100 ? "K" : "",
            AttributeOp.Focus => most > 1 ? "m" : "",
            _ => UnitOf(op),
        };
    }

    /// <summary>A value with its unit, for people.</summary>
    public static string Describe(float value, string unit)
    {
        var number = value.ToString(unit is "K" ? "F0" : "0.####", CultureInfo.InvariantCulture);
        return unit.Length == 0 ? number : number + " " + unit;
    }

    private static AttributeOp Lookup(string key) => key switch
    {
        "dimmer" => AttributeOp.Dimmer,
        "pan" => AttributeOp.Pan,
        "tilt" => AttributeOp.Tilt,
        "panrotate" => AttributeOp.PanTurn,
        "tiltrotate" => AttributeOp.TiltTurn,
        "xyz_z" or "height" or "winchheight" or "position_z" or "travel" or "winch" or "hoistheight" => AttributeOp.Travel,
        "positionmspeed" or "panspeed" or "tiltspeed" or "pantiltspeed" or "winchspeed" or "hoistspeed" or "movespeed" =>
            AttributeOp.MoveSpeed,
        "intensitymspeed" => AttributeOp.DimmerSpeed,
        "colormixmspeed" => AttributeOp.MixSpeed,
        "colorwheelselectmspeed" => AttributeOp.ColourWheelSpeed,
        "gobowheelmspeed" or "gobomspeed" => AttributeOp.GoboWheelSpeed,
        "irismspeed" => AttributeOp.IrisSpeed,
        "prismmspeed" => AttributeOp.PrismSpeed,
        "focusmspeed" => AttributeOp.FocusSpeed,
        "frostmspeed" => AttributeOp.FrostSpeed,
        "zoommspeed" => AttributeOp.ZoomSpeed,
        "beammspeed" => AttributeOp.BeamSpeed,
        "globalmspeed" => AttributeOp.AllSpeed,
        "dimmercurve" or "dimmermode" => AttributeOp.DimmerCurve,
        "shutter" => AttributeOp.Shutter,
        "shutterstrobe" or "shutterstrobeeffect" => AttributeOp.Strobe,
        "shutterstrobepulse" => AttributeOp.StrobePulse,
        "shutterstrobepulseopen" => AttributeOp.StrobePulseOpening,
        "shutterstrobepulseclose" => AttributeOp.StrobePulseClosing,
        "shutterstroberandom" => AttributeOp.StrobeRandom,
        "shutterstroberandompulse" => AttributeOp.StrobeRandomPulse,
        "shutterstroberandompulseopen" => AttributeOp.StrobeRandomOpening,
        "shutterstroberandompulseclose" => AttributeOp.StrobeRandomClosing,
        "strobefrequency" or "stroberate" => AttributeOp.StrobeFrequency,
        "strobemodeshutter" => AttributeOp.ModeOpen,
        "strobemodestrobe" or "strobemodeeffect" => AttributeOp.ModeStrobe,
        "strobemodepulse" => AttributeOp.ModePulse,
        "strobemodepulseopen" => AttributeOp.ModeOpening,
        "strobemodepulseclose" => AttributeOp.ModeClosing,
        "strobemoderandom" => AttributeOp.ModeRandom,
        "strobemoderandompulse" => AttributeOp.ModeRandomPulse,
        "strobemoderandompulseopen" => AttributeOp.ModeRandomOpening,
        "strobemoderandompulseclose" => AttributeOp.ModeRandomClosing,
        "strobeduration" => AttributeOp.StrobeDuration,
        "zoom" => AttributeOp.Zoom,
        "iris" => AttributeOp.Iris,
        "irisstrobe" => AttributeOp.IrisStrobe,
        "irispulse" => AttributeOp.IrisPulse,
        "irispulseopen" => AttributeOp.IrisPulseOpening,
        "irispulseclose" => AttributeOp.IrisPulseClosing,
        "irisstroberandom" => AttributeOp.IrisStrobeRandom,
        "irisrandompulse" => AttributeOp.IrisRandomPulse,
        "irisrandompulseopen" => AttributeOp.IrisRandomOpening,
        "irisrandompulseclose" => AttributeOp.IrisRandomClosing,
        "frost" => AttributeOp.Frost,
        "frostramp" => AttributeOp.FrostRamp,
        "frostpulseopen" => AttributeOp.FrostPulseOpening,
        "frostpulseclose" => AttributeOp.FrostPulseClosing,
        "focus" => AttributeOp.Focus,
        "colorsub_c" => AttributeOp.Cyan,
        "colorsub_m" => AttributeOp.Magenta,
        "colorsub_y" => AttributeOp.Yellow,
        "colorrgb_cyan" => AttributeOp.MixCyan,
        "colorrgb_magenta" => AttributeOp.MixMagenta,
        "colorrgb_yellow" => AttributeOp.MixYellow,
        "hsb_hue" => AttributeOp.Hue,
        "hsb_saturation" => AttributeOp.Saturation,
        "hsb_brightness" or "cie_brightness" => AttributeOp.Brightness,
        "cie_x" => AttributeOp.CieX,
        "cie_y" => AttributeOp.CieY,
        "cto" => AttributeOp.ToOrange,
        "ctb" => AttributeOp.ToBlue,
        "ctc" or "colortemperature" => AttributeOp.Temperature,
        "tint" => AttributeOp.Tint,
        "color" => AttributeOp.ColourWheel,
        "colormacro" => AttributeOp.ColourMacro,
        "colorwheelrandom" => AttributeOp.ColourWheelRandom,
        "colorwheelindex" => AttributeOp.ColourWheelIndex,
        "colorwheelspin" => AttributeOp.ColourWheelSpin,
        "gobo" => AttributeOp.GoboWheel,
        "gobowheelindex" => AttributeOp.GoboWheelIndex,
        "gobowheelspin" => AttributeOp.GoboWheelSpin,
        "gobowheelrandom" => AttributeOp.GoboWheelRandom,
        "gobopos" => AttributeOp.GoboAngle,
        "goboposrotate" => AttributeOp.GoboTurn,
        "goboposshake" or "goboselectshake" or "gobowheelshake" => AttributeOp.GoboShake,
        "goboselectspin" => AttributeOp.GoboSelectTurn,
        "animationwheel" => AttributeOp.AnimationWheel,
        "animationwheelpos" => AttributeOp.AnimationAngle,
        "animationwheelposrotate" => AttributeOp.AnimationTurn,
        "prism" => AttributeOp.Prism,
        "prismpos" => AttributeOp.PrismAngle,
        "prismselectspin" => AttributeOp.PrismSelectTurn,
        "prismposrotate" => AttributeOp.PrismTurn,
        _ when key.EndsWith("mtime", StringComparison.Ordinal) => Lookup(key[..^4] + "speed"),
        "bladea" => AttributeOp.BladeA,
        "bladeb" => AttributeOp.BladeB,
        "bladerot" => AttributeOp.BladeTurn,
        "shaperrot" => AttributeOp.BladesTurn,
        "nofeature" or "dummy" or "" => AttributeOp.Nothing,
        _ when key.StartsWith("coloradd_", StringComparison.Ordinal) || key is "colorrgb_red" or "colorrgb_green" or "colorrgb_blue" => AttributeOp.Add,
        _ => AttributeOp.NotSimulated,
    };
}
