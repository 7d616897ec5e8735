using System.Globalization;
using System.Text;
using System.Xml;
using StageView.Snapshot.Compare;
using StageView.Snapshot.Sets;

namespace StageView.Snapshot.Report;

/// <summary>The answer as JUnit XML: a test a frame, so that a CI page lists what changed.</summary>
internal static class JunitXml
{
    public static void Write(SetResult result, string path)
    {
        using var xml = XmlWriter.Create(path, new XmlWriterSettings { Indent = true, Encoding = new UTF8Encoding(false), CheckCharacters = false });
        xml.WriteStartDocument();
        xml.WriteStartElement("testsuites");
        xml.WriteStartElement("testsuite");
        xml.WriteAttributeString("name", "frames");
        xml.WriteAttributeString("tests", Text(result.Frames.Count));
        xml.WriteAttributeString("failures", Text(result.Frames.Count(f => f.IsDifference && f.Verdict != FrameVerdict.Unreadable)));
        xml.WriteAttributeString("errors", Text(result.Count(FrameVerdict.Unreadable)));
        xml.WriteAttributeString("skipped", "0");
        foreach (var frame in result.Frames)
        {
            xml.WriteStartElement("testcase");
            xml.WriteAttributeString("classname", frame.Camera.Length > 0 ? Clean(frame.Camera) : "frames");
            xml.WriteAttributeString("name", Clean(frame.Name));
            if (frame.IsDifference)
            {
                xml.WriteStartElement(frame.Verdict == FrameVerdict.Unreadable ? "error" : "failure");
                xml.WriteAttributeString("type", frame.Verdict.ToString());
                xml.WriteAttributeString("message", Clean(FrameWords.Say(frame)));
                xml.WriteString(Clean(string.Join('\n', frame.Causes.Select(FrameWords.Say).Concat(frame.Settings))));
                xml.WriteEndElement();
            }

            xml.WriteEndElement();
        }

        xml.WriteEndElement();
        xml.WriteEndElement();
    }

    private static string Text(int n) => n.ToString(CultureInfo.InvariantCulture);

    /// <summary>XML 1.0 has no control characters beside tab and line ends.</summary>
    private static string Clean(string text) => string.Concat(text.Where(c => XmlConvert.IsXmlChar(c) || char.IsSurrogate(c)));
}
