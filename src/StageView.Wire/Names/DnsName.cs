using System.Text;

namespace StageView.Wire.Names;

/// <summary>Names as text: labels with a dot after each, dots and backslashes within a label after a backslash (RFC 6763, 4.3).</summary>
internal static class DnsName
{
    /// <summary>A label as it stands in a name.</summary>
    public static string Label(string text) =>
        text.Replace("\\", "\\\\", StringComparison.Ordinal).Replace(".", "\\.", StringComparison.Ordinal);

    /// <summary>Names are the same whatever the case of their letters (RFC 6762, 16).</summary>
    public static bool Same(string a, string b) => string.Equals(a, b, StringComparison.OrdinalIgnoreCase);

    /// <summary>The first label, plain.</summary>
    public static string First(string name) => Labels(name).FirstOrDefault("");

    /// <summary>The labels, plain.</summary>
    public static IEnumerable<string> Labels(string name)
    {
        var label = new StringBuilder();
        for (var i = 0; i < name.Length; i++)
        {
            if (name[i] == '\\' && i + 1 < name.Length)
            {
                label.Append(name[++i]);
            }
            else if (name[i] == '.')
            {
                yield return label.ToString();
                label.Clear();
            }
            else
            {
                label.Append(name[i]);
            }
        }

        if (label.Length > 0)
        {
            yield return label.ToString();
        }
    }

    /// <summary>A text cut to what one label can hold, at a whole character.</summary>
    /// <param name="text">Any text.</param>
    /// <param name="most">Bytes in UTF-8.</param>
    public static string Cut(string text, int most = DnsNumbers.MostLabelBytes)
    {
        var (cut, bytes) = (new StringBuilder(), 0);
        foreach (var rune in text.EnumerateRunes())
        {
            if ((bytes += rune.Utf8SequenceLength) > most)
            {
                break;
            }

            cut.Append(rune.ToString());
        }

        return cut.ToString();
    }
}
