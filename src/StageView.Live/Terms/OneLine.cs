namespace StageView.Live.Terms;

/// <summary>Text from outside as one line that can be shown: names come from the network, and control characters are shown, never passed on.</summary>
internal static class OneLine
{
    /// <summary>Characters of it that are kept.</summary>
    private const int Longest = 400;

    /// <summary>Cut where it is too long, with ␣ in place of each control character.</summary>
    public static string Of(string text)
    {
        var cut = text.Length > Longest ? text[..Longest] + "…" : text;
        return cut.Any(char.IsControl) ? string.Concat(cut.Select(c => char.IsControl(c) ? '␣' : c)) : cut;
    }
}
