namespace StageView.Stage.Colour;

/// <summary>Colours by the names that slots of wheels and macros have. Values: named colours of CSS Color Module Level 4; amber and warm white are common
/// practice, no source.</summary>
internal static class NamedColours
{
    private static readonly (string Word, string Colour)[] Known =
    [
        ("warm white", "3200K"), ("cold white", "6500K"), ("white", "#ffffff"), ("open", "#ffffff"), ("red", "#ff0000"), ("orange", "#ffa500"),
        ("amber", "#ffbf00"), ("yellow", "#ffff00"), ("lime", "#00ff00"), ("green", "#008000"), ("turquoise", "#40e0d0"), ("cyan", "#00ffff"),
        ("blue", "#0000ff"), ("indigo", "#4b0082"), ("violet", "#ee82ee"), ("purple", "#800080"), ("lavender", "#e6e6fa"), ("magenta", "#ff00ff"),
        ("pink", "#ffc0cb"),
    ];

    private static readonly string[] Dark = ["off", "black", "blackout", "dark", "closed"];

    /// <summary>A slot's name that is one of the known words, with or without "light", "dark", "deep" or a number beside it, or a colour written out.</summary>
    public static bool TryRead(string name, out ColourWanted colour)
    {
        if (ColourWanted.TryParse(name, out colour))
        {
            return true;
        }

        var words = string.Join(' ', name.ToLowerInvariant().Split([' ', '-', '_', '.', '(', ')'], StringSplitOptions.RemoveEmptyEntries)
            .Where(w => w is not ("light" or "deep" or "dark" or "colour" or "color") && !w.All(char.IsAsciiDigit)));
        foreach (var (word, value) in Known)
        {
            if (words == word)
            {
                return ColourWanted.TryParse(value, out colour);
            }
        }

        return false;
    }

    public static bool IsDark(string name) => Dark.Contains(name.Trim().ToLowerInvariant());
}
