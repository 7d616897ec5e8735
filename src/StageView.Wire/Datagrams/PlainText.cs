using System.Text;

namespace StageView.Wire.Datagrams;

/// <summary>Names that came from outside, made fit to print: control, format, surrogate and private-use characters become U+FFFD, length is bounded.</summary>
public static class PlainText
{
    /// <param name="utf8">UTF-8, ended by the first NUL or the end of the span; broken sequences become U+FFFD.</param>
    /// <param name="most">At most so many characters.</param>
    public static string From(ReadOnlySpan<byte> utf8, int most = 64)
    {
        var end = utf8.IndexOf((byte)0);
        return From(Encoding.UTF8.GetString(end < 0 ? utf8 : utf8[..end]), most);
    }

    public static string From(string text, int most = 64)
    {
        var clean = new StringBuilder(Math.Min(text.Length, most));
        foreach (var rune in text.EnumerateRunes())
        {
            if (clean.Length + rune.Utf16SequenceLength > most)
            {
                break;
            }

            clean.Append(IsPlain(rune) ? rune.ToString() : "\uFFFD");
        }

        return clean.ToString().Trim();
    }

    // Format characters include the bidirectional overrides, which could reorder a line of the terminal.
    private static bool IsPlain(Rune rune) => Rune.GetUnicodeCategory(rune) is not (
        System.Globalization.UnicodeCategory.Control
        or System.Globalization.UnicodeCategory.Format
        or System.Globalization.UnicodeCategory.Surrogate
        or System.Globalization.UnicodeCategory.PrivateUse
        or System.Globalization.UnicodeCategory.OtherNotAssigned
        or System.Globalization.UnicodeCategory.LineSeparator
        or System.Globalization.UnicodeCategory.ParagraphSeparator);
}
