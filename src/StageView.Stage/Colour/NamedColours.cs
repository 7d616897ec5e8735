using StageView.Rig.Profiles;

namespace StageView.Stage.Colour;

/// <summary>Colours by the names that slots of wheels and macros have.</summary>
internal static class NamedColours
{
    /// <summary>A slot's name that is a known colour (<see cref="ColourNames"/>), or a colour written out.</summary>
    public static bool TryRead(string name, out ColourWanted colour)
    {
        colour = default;
        return ColourNames.Find(name) is { } found && ColourWanted.TryParse(found, out colour);
    }

    public static bool IsDark(string name) => ColourNames.IsDark(name);
}
