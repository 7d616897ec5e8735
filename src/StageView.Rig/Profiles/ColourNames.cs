namespace StageView.Rig.Profiles;

/// <summary>
/// Colours by the names that slots of wheels and sets of macros have. Values: named colours of CSS Color Module Level 4; amber and the whites are common
/// practice, no source.
/// </summary>
public static class ColourNames
{
    private static readonly Dictionary<string, string> Known = new(StringComparer.Ordinal)
    {
        ["warm white"] = "3200K", ["cold white"] = "6500K", ["cool white"] = "6500K", ["white"] = "#ffffff", ["open"] = "#ffffff", ["red"] = "#ff0000",
        ["orange"] = "#ffa500", ["amber"] = "#ffbf00", ["yellow"] = "#ffff00", ["lime"] = "#00ff00", ["green"] = "#008000", ["turquoise"] = "#40e0d0",
        ["cyan"] = "#00ffff", ["blue"] = "#0000ff", ["indigo"] = "#4b0082", ["violet"] = "#ee82ee", ["purple"] = "#800080", ["lavender"] = "#e6e6fa",
        ["magenta"] = "#ff00ff", ["pink"] = "#ffc0cb",
    };

    private static readonly string[] Beside = ["light", "deep", "dark", "colour", "color"];

    private static readonly string[] Dark = ["off", "black", "blackout", "dark", "closed"];

    private static readonly string[] Idle =
        ["open", "off", "none", "no function", "no feature", "nofeature", "no effect", "no macro", "no macros", "idle", "disabled", "inactive", "safe"];

    /// <summary>
    /// What a name that is one of the known words says, with or without "light", "dark", "deep" or a number beside it: <c>#rrggbb</c> or a colour temperature
    /// as in <c>3200K</c>. A name that is written so itself is handed back.
    /// </summary>
    /// <returns>Null where the name states no colour.</returns>
    public static string? Find(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        var text = name.Trim();
        if ((text.Length == 7 && text[0] == '#' && text.Skip(1).All(char.IsAsciiHexDigit))
            || (text.Length is 5 or 6 && text[^1] == 'K' && text[..^1].All(char.IsAsciiDigit)))
        {
            return text;
        }

        return Known.GetValueOrDefault(string.Join(' ', text.ToLowerInvariant().Split([' ', '-', '_', '.', '(', ')'], StringSplitOptions.RemoveEmptyEntries)
            .Where(w => !Beside.Contains(w) && !w.All(char.IsAsciiDigit))));
    }

    /// <summary>Whether a slot of that name lets no light through.</summary>
    public static bool IsDark(string name) => Dark.Contains((name ?? "").Trim().ToLowerInvariant());

    /// <summary>Whether a macro's set of that name leaves the fixture alone.</summary>
    public static bool IsIdle(string name) => Idle.Contains((name ?? "").Trim().ToLowerInvariant());
}
