using System.Numerics;
using StageView.Light.Colour;
using StageView.Stage.Programs;

namespace StageView.Stage.Optics;

/// <summary>What colour an emitter has: its source, its flags, its wheels.</summary>
internal static class EmitterColour
{
    /// <summary>Linear Rec.709 and luminance, as shares of the emitter's open white or full mix.</summary>
    public static (Vector3 Rgb, float Luminance) Mix(EmitterCode code, in EmitterValues v)
    {
        Vector3 xyz;
        if (v.Preset is { } preset)
        {
            xyz = Chromaticity.Rec709ToXyz(preset);
        }
        else if (code.IsAdditive)
        {
            xyz = Reached(code, v.AddXyz * code.AddScale);
        }
        else if (v.HasMix)
        {
            // DIN SPEC 15800, annex A, ColorRGB_Cyan: indirect mixing, the other way round than red, green and blue.
            xyz = Reached(code, code.Space?.Xyz(v.Mixed) ?? Chromaticity.Rec709ToXyz(v.Mixed));
        }
        else if (v.HasHsb)
        {
            var pure = HueSaturation(v.Hue, v.Saturation);
            xyz = Reached(code, code.Space?.Xyz(pure) ?? Chromaticity.Rec709ToXyz(pure));
        }
        else if (v.CieX >= 0 && v.CieY > 0)
        {
            xyz = Reached(code, Chromaticity.ToXyz(v.CieX, v.CieY));
        }
        else if (v.Kelvin > 0 || v.Duv != 0)
        {
            xyz = Planckian.White(v.Kelvin > 0 ? v.Kelvin : code.WhiteKelvin, v.Duv);
            var open = code.Flags.Xyz(v.Cyan, v.Magenta, v.Yellow, v.TemperatureFlag);
            xyz *= open / code.White;
            xyz *= v.IsFlag ? code.Flags.TransmissionTo(v.Kelvin) : 1;
        }
        else
        {
            xyz = code.Flags.Xyz(v.Cyan, v.Magenta, v.Yellow, v.TemperatureFlag);
        }

        var rgb = Chromaticity.XyzToRec709(xyz);
        if (code.IsAdditive && (v.Kelvin > 0 || v.Duv != 0))
        {
            // The mix's own white moves from D65's to the one asked for, without raising any component.
            var shift = Chromaticity.XyzToRec709(Planckian.White(v.Kelvin > 0 ? v.Kelvin : 6504, v.Duv));
            rgb *= Vector3.Max(shift, Vector3.Zero) / Math.Max(shift.X, Math.Max(shift.Y, shift.Z));
        }

        rgb *= code.IsAdditive && v.HasMix && v.Preset is null ? v.Mixed : Vector3.One;
        rgb *= v.Filter;
        var luminance = Chromaticity.Luminance(rgb);
        return luminance > 0 ? (rgb, luminance) : (Vector3.Zero, 0);
    }

    /// <summary>
    /// What a fixture reaches of a colour that is mixed indirectly: within its gamut, else within the colours that light can have. X + Y + Z is
    /// kept, so that a primary which is no real colour (and has next to no luminance) comes out as the strong colour it stands for.
    /// </summary>
    private static Vector3 Reached(EmitterCode code, Vector3 xyz)
    {
        if (code.Gamut.Length == 0 || xyz.Y <= 0)
        {
            return xyz;
        }

        var asked = Chromaticity.FromXyz(xyz);
        var c = Gamut.Nearest(code.Gamut, asked);
        return c == asked ? xyz : Chromaticity.ToXyz(c.X, c.Y, c.Y * (xyz.X + xyz.Y + xyz.Z));
    }

    /// <summary>Hue in degrees and saturation 0 to 1 to linear Rec.709 with the largest component 1.</summary>
    public static Vector3 HueSaturation(float hue, float saturation)
    {
        static float Channel(float n, float hue, float s)
        {
            var k = (n + (hue / 60)) % 6;
            k = k < 0 ? k + 6 : k;
            return 1 - (s * Math.Clamp(Math.Min(k, 4 - k), 0, 1));
        }

        var s = Math.Clamp(saturation, 0, 1);
        return new Vector3(Channel(5, hue, s), Channel(3, hue, s), Channel(1, hue, s));
    }
}
