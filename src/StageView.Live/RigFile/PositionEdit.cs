using System.Globalization;
using System.Numerics;
using System.Text;
using System.Text.Json;
using StageView.Rig.Source;

namespace StageView.Live.RigFile;

/// <summary>
/// Writes <c>"at": [x, y, z]</c> of one fixture into the text of a rig file: the number list is replaced where it stands,
/// or a member is added. Comments, order, indentation and line ends around it stay as they are.
/// </summary>
internal static class PositionEdit
{
    /// <summary>The position that the file gives now, in the hang's own coordinates; null when it gives none.</summary>
    public static Vector3? Read(byte[] text, SourcePath hang, int member)
    {
        if (EntryOf(text, hang, member) is not { } entry || JsonSpan.Find(text, entry.Key("at")) is not { Kind: JsonTokenType.StartArray } span)
        {
            return null;
        }

        using var doc = JsonDocument.Parse(text.AsMemory(span.Start, span.End - span.Start),
            new JsonDocumentOptions { AllowTrailingCommas = true, CommentHandling = JsonCommentHandling.Skip });
        var a = doc.RootElement;
        return a.GetArrayLength() == 3 && a.EnumerateArray().All(e => e.ValueKind == JsonValueKind.Number)
            ? new Vector3(a[0].GetSingle(), a[1].GetSingle(), a[2].GetSingle())
            : null;
    }

    /// <summary>The text with the position in it, or null when the hang isn't there.</summary>
    /// <param name="hang">Path of the hang.</param>
    /// <param name="member">0 for a hang of one fixture; else which of its fixtures, from 1.</param>
    public static byte[]? Write(byte[] text, SourcePath hang, int member, Vector3 at)
    {
        if (JsonSpan.Find(text, hang) is not { Kind: JsonTokenType.StartObject } whole)
        {
            return null;
        }

        var list = Numbers(at);
        if (EntryOf(text, hang, member) is { } entry)
        {
            if (JsonSpan.Find(text, entry.Key("at")) is { } old)
            {
                return Replace(text, old.Start, old.End, list);
            }

            if (JsonSpan.Find(text, entry) is { Kind: JsonTokenType.StartObject } into)
            {
                return Insert(text, into, $"\"at\": {list}");
            }
        }

        var added = string.Create(CultureInfo.InvariantCulture, $"{{ \"member\": {member}, \"at\": {list} }}");
        return JsonSpan.Find(text, hang.Key("members")) is { Kind: JsonTokenType.StartArray } members
            ? Insert(text, members, added)
            : Insert(text, whole, $"\"members\": [{added}]");
    }

    /// <summary>Millimetres are enough, and no more digits than needed.</summary>
    internal static string Numbers(Vector3 v)
    {
        static string One(float f) => (Math.Round((decimal)f, 3) + 0m).ToString("0.###", CultureInfo.InvariantCulture) is var s && s == "-0" ? "0" : s;
        return $"[{One(v.X)}, {One(v.Y)}, {One(v.Z)}]";
    }

    /// <summary>
    /// The object that holds a fixture's own keys: the hang itself for a hang of one, else the fixture's entry among the members; null without one.
    /// </summary>
    private static SourcePath? EntryOf(byte[] text, SourcePath hang, int member)
    {
        if (member == 0)
        {
            return hang;
        }

        var members = hang.Key("members");
        for (var i = 0; JsonSpan.Find(text, members.Item(i)) is not null; i++)
        {
            if (JsonSpan.Find(text, members.Item(i).Key("member")) is { Kind: JsonTokenType.Number } n
                && int.TryParse(Encoding.ASCII.GetString(text, n.Start, n.End - n.Start), NumberStyles.None, CultureInfo.InvariantCulture, out var which)
                && which == member)
            {
                return members.Item(i);
            }
        }

        return null;
    }

    /// <summary>Puts something first into an object or list, on a line of its own where the first thing there has one.</summary>
    private static byte[] Insert(byte[] text, JsonSpan into, string what)
    {
        var open = into.Start + 1;
        var first = open;
        var lineStart = -1;
        while (first < into.End - 1 && text[first] is (byte)' ' or (byte)'\t' or (byte)'\r' or (byte)'\n')
        {
            if (text[first] == '\n')
            {
                lineStart = first + 1;
            }

            first++;
        }

        var empty = first >= into.End - 1;
        if (empty)
        {
            return Replace(text, open, into.End - 1, $" {what} ");
        }

        // A comment may come first; it stays with what follows it, and ours goes before both.
        return lineStart < 0
            ? Replace(text, open, open, $" {what},")
            : Replace(text, first, first, what + "," + (lineStart >= 2 && text[lineStart - 2] == '\r' ? "\r\n" : "\n")
                + Encoding.UTF8.GetString(text, lineStart, first - lineStart));
    }

    private static byte[] Replace(byte[] text, int start, int end, string by) => [.. text.AsSpan(0, start), .. Encoding.UTF8.GetBytes(by), .. text.AsSpan(end)];
}
