using System.Numerics;
using StageView.Light.Colour;
using StageView.Rig.Profiles;
using StageView.Stage.Colour;

namespace StageView.Stage.Programs;

/// <summary>
/// What a fixture makes of the colours that its macros name (DIN SPEC 15800, annex A, ColorMacro: predefined colours in the firmware): the slot of a linked
/// wheel, else the chromaticity of the name, as bright as its own mix can make it. A name that is no colour makes nothing.
/// </summary>
internal static class MacroColours
{
    /// <summary>The colour of a set (of the function itself where it has none), linear Rec.709 of the full light; null where it names no colour.</summary>
    /// <remarks>Worked out when first asked for: a file may have more sets than are ever chosen.</remarks>
    public static Vector3? Of(EmitterCode emitter, FunctionCode f, int set)
    {
        if ((set < 0 && f.Sets.Length > 0) || (emitter.Mixes && IsWhiteAtFirst(f, set)))
        {
            return null;
        }

        if (!emitter.Macros.TryGetValue((f, set), out var colour))
        {
            var slot = set >= 0 ? f.Sets[set].WheelSlot : 0;
            emitter.Macros[(f, set)] = colour = slot > 0 && slot <= f.Slots.Length ? Slot(emitter, f.Slots[slot - 1]) : Named(emitter, f.Chosen(set));
        }

        return colour;
    }

    /// <summary>White as the first of a macro's sets leaves a mix alone, as the open first slot of a wheel does.</summary>
    public static bool IsWhiteAtFirst(FunctionCode f, int set) => set == 0 && f.Sets[0].WheelSlot == 0 && ColourNames.Find(f.Sets[0].Name) == "#ffffff";

    private static Vector3? Slot(EmitterCode emitter, WheelSlot slot) =>
        slot.IsOpen ? null : emitter.IsAdditive ? slot.Colour : slot.Colour * Chromaticity.XyzToRec709(emitter.White);

    private static Vector3? Named(EmitterCode emitter, string name)
    {
        if (ColourNames.IsIdle(name))
        {
            return null;
        }

        if (ColourNames.IsDark(name))
        {
            return Vector3.Zero;
        }

        if (!NamedColours.TryRead(name, out var wanted))
        {
            return null;
        }

        var adds = emitter.Adds;
        if (adds.Length > 0)
        {
            var levels = ColourSolver.Additive([.. adds.Select(a => a.AddXyz)], wanted.Xyz);
            var sum = Vector3.Zero;
            for (var i = 0; i < adds.Length; i++)
            {
                sum += levels[i] * adds[i].AddXyz;
            }

            return Chromaticity.XyzToRec709(sum * emitter.AddScale);
        }

        if (emitter.HasFlags)
        {
            var cmy = ColourSolver.Subtractive(emitter.Flags, wanted.Xyz);
            return Chromaticity.XyzToRec709(emitter.Flags.Xyz(cmy.X, cmy.Y, cmy.Z, 0));
        }

        // Nothing is known of how it is made: the lightest filter of that colour.
        var most = MathF.Max(wanted.Rgb.X, MathF.Max(wanted.Rgb.Y, wanted.Rgb.Z));
        return most <= 0 ? Vector3.Zero : wanted.Rgb / most * Chromaticity.XyzToRec709(emitter.White);
    }
}
