using System.Xml;
using System.Xml.Linq;

namespace StageView.Rig.Archives;

/// <summary>Reads XML that nobody vouches for: no DTD, nothing fetched, at most 64 levels, and elements and attributes within a budget.</summary>
internal static class SafeXml
{
    private const int MaxDepth = 64;

    public static XElement? TryParse(byte[] bytes, ArchiveBudget budget, out string why)
    {
        // The standards want UTF-8; the other encodings have a zero in their first two characters.
        if (bytes.AsSpan(0, Math.Min(4, bytes.Length)).Contains((byte)0))
        {
            why = "not written in UTF-8";
            return null;
        }

        if (XmlTags.TooLong(bytes) is > 0 and var line)
        {
            why = $"a tag of more than {XmlTags.MaxBytes >> 10} KiB at line {line}, which is the most that is read";
            return null;
        }

        try
        {
            using (var check = XmlReader.Create(new MemoryStream(bytes), Settings()))
            {
                while (check.Read())
                {
                    if (check.Depth > MaxDepth)
                    {
                        why = $"nested deeper than {MaxDepth} levels at line {((IXmlLineInfo)check).LineNumber}";
                        return null;
                    }

                    if (check.NodeType == XmlNodeType.Element && !budget.Xml(1 + check.AttributeCount))
                    {
                        why = $"{ArchiveBudget.TooManyXml} (line {((IXmlLineInfo)check).LineNumber})";
                        return null;
                    }
                }
            }

            using var reader = XmlReader.Create(new MemoryStream(bytes), Settings());
            why = "";
            return XDocument.Load(reader, LoadOptions.SetLineInfo).Root;
        }
        catch (XmlException e)
        {
            why = e.Message.Contains("DTD", StringComparison.Ordinal) ? "holds a document type definition, which is not allowed"
                : $"not well-formed XML: {e.Message}";
            return null;
        }
        catch (Exception e) when (e is ArgumentException or InvalidOperationException or System.Text.DecoderFallbackException)
        {
            why = $"not readable as XML: {e.Message}";
            return null;
        }
    }

    public static int Line(this XObject node) => node is IXmlLineInfo { } info && info.HasLineInfo() ? info.LineNumber : 0;

    public static string Attr(this XElement node, string name, string fallback = "") => (string?)node.Attribute(name) ?? fallback;

    private static XmlReaderSettings Settings() => new()
    {
        DtdProcessing = DtdProcessing.Prohibit,
        XmlResolver = null,
        MaxCharactersInDocument = 64 << 20,
        IgnoreComments = true,
        IgnoreProcessingInstructions = true,
    };
}
