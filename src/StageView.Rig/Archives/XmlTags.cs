namespace StageView.Rig.Archives;

/// <summary>Looks XML over for tags without end, before a parser gathers their attributes.</summary>
internal static class XmlTags
{
    public const int MaxBytes = 256 << 10;

    /// <summary>The line of the first tag that is longer than may be, or 0. Quotes, comments and character data are passed over as XML 1.0 has them.</summary>
    public static int TooLong(ReadOnlySpan<byte> xml)
    {
        for (var at = 0; at < xml.Length;)
        {
            var open = xml[at..].IndexOf((byte)'<');
            if (open < 0)
            {
                return 0;
            }

            at += open;
            var end = xml[at..].StartsWith("<!--"u8) ? After(xml, at + 4, "-->"u8) : xml[at..].StartsWith("<![CDATA["u8) ? After(xml, at + 9, "]]>"u8)
                : xml[at..].StartsWith("<?"u8) ? After(xml, at + 2, "?>"u8) : Tag(xml, at + 1);
            if (end < 0)
            {
                return xml[..at].Count((byte)'\n') + 1;
            }

            at = end;
        }

        return 0;
    }

    private static int After(ReadOnlySpan<byte> xml, int from, ReadOnlySpan<byte> end)
    {
        var found = from >= xml.Length ? -1 : xml[from..].IndexOf(end);
        return found < 0 ? xml.Length : from + found + end.Length;
    }

    /// <summary>Where the tag ends, or -1 where it goes on for too long.</summary>
    private static int Tag(ReadOnlySpan<byte> xml, int from)
    {
        var most = Math.Min(xml.Length, from + MaxBytes);
        for (var at = from; at < most;)
        {
            var found = xml[at..most].IndexOfAny((byte)'>', (byte)'"', (byte)'\'');
            if (found < 0)
            {
                break;
            }

            at += found;
            if (xml[at] == '>')
            {
                return at + 1;
            }

            var close = xml[(at + 1)..most].IndexOf(xml[at]);
            if (close < 0)
            {
                break;
            }

            at += close + 2;
        }

        return most == xml.Length ? xml.Length : -1;
    }
}
