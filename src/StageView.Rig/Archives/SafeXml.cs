using System.Xml;
using System.Xml.Linq;

namespace StageView.Rig.Archives;

/// <summary>Reads XML that nobody vouches for: no DTD, nothing fetched, at most 64 levels and a million elements.</summary>
internal static class SafeXml
{
    private const int MaxDepth = 64;
    private const int MaxElements = 1_000_000;

    public static XElement? TryParse(byte[] bytes, out string why)
    {
        try
        {
            using (var check = XmlReader.Create(new MemoryStream(bytes), Settings()))
            {
                var elements = 0;
                while (check.Read())
                {
                    if (check.Depth > MaxDepth)
                    {
                        why = $"nested deeper than {MaxDepth} levels at line {((IXmlLineInfo)check).LineNumber}";
                        return null;
                    }

                    if (check.NodeType == XmlNodeType.Element && ++elements > MaxElements)
                    {
                        why = $"more than {MaxElements} elements";
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
