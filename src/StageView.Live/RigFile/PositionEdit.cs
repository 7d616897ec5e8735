using System.Globalization;
using System.Numerics;
using System.Text;
using System.Text.Json;

namespace StageView.Live.RigFile;

/// <summary>
/// Writes <c>"at": [x, y, z]</c> of one fixture into the text of a rig file: the number list is replaced where it stands,
/// or a member is added. Comments, order, indentation and line ends around it stay as they are.
/// </summary>
internal static class PositionEdit
{
    /// <summary>The position that the file gives now, in the hang's own coordinates; null when it gives none.</summary>
    public static Vector3? Read(byte[] text, string hang, int member)
    {
        if (JsonSpan.Find(text, PathOfAt(text, hang, member)) is not { Kind: JsonTokenType.StartArray } span)
        {
            return null;
        }

        using var doc = JsonDocument.Parse(text.AsMemory(span.Start, span.End - span.Start), new JsonDocumentOptions { AllowTrailingCommas = true, CommentHandling = JsonCommentHandling.Skip });
        var a = doc.RootElement;
        return a.GetArrayLength() == 3 && a.EnumerateArray().All(e => e.ValueKind == JsonValueKind.Number)
            ? new Vector3(a[0].GetSingle(), a[1].GetSingle(), a[2].GetSingle())
            : null;
    }

    /// <summary>The text with the position in it, or null when the hang isn't there.</summary>
    /// <param name="hang">Path of the hang, <c>$.hangs[3]</c>.</param>
    /// <param name="member">0 for a hang of one fixture; else which of its fixtures, from 1.</param>
    public static byte[]? Write(byte[] text, string hang, int member, Vector3 at)
    {
        if (JsonSpan.Find(text, hang) is not { Kind: JsonTokenType.StartObject } whole)
        {
            return null;
        }

        var list = Numbers(at);
        var path = PathOfAt(text, hang, member);
        if (JsonSpan.Find(text, path) is { } old)
        {
            return Replace(text, old.Start, old.End, list);
        }

        if (member == 0)
        {
            return Insert(text, whole, $"\"at\": {list}");
        }

        if (JsonSpan.Find(text, path[..^".at".Length]) is { Kind: JsonTokenType.StartObject } entry && path.Contains(".members[", StringComparison.Ordinal))
        {
            return Insert(text, entry, $"\"at\": {list}");
        }

        var added = string.Create(CultureInfo.InvariantCulture, $"{{ \"member\": {member}, \"at\": {list} }}");
        return JsonSpan.Find(text, hang + ".members") is { Kind: JsonTokenType.StartArray } members
            ? Insert(text, members, added)
            : Insert(text, whole, $"\"members\": [{added}]");
    }

    /// <summary>Millimetres are enough, and no more digits than needed.</summary>
    internal static string Numbers(Vector3 v)
    {
        static string One(float f) => (Math.Round((decimal)f, 3) + 0m).ToString("0.###", CultureInfo.InvariantCulture) is var s && s == "-0" ? "0" : s;
        return $"[{One(v.X)}, {One(v.Y)}, {One(v.Z)}]";
    }

    private static string PathOfAt(byte[] text, string hang, int member)
    {
        if (member == 0)
        {
            return hang + ".at";
        }

        for (var i = 0; JsonSpan.Find(text, $"{hang}.members[{i}]") is not null; i++)
        {
            if (JsonSpan.Find(text, $"{hang}.members[{i}].member") is { Kind: JsonTokenType.Number } n
                && int.TryParse(Encoding.ASCII.GetString(text, n.Start, n.End - n.Start), NumberStyles.None, CultureInfo.InvariantCulture, out var which) && which == member)
            {
                return $"{hang}.members[{i}].at";
            }
        }

        return $"{hang}.members[-].at";
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
            : Replace(text, first, first, what + "," + (lineStart >= 2 && text[lineStart - 2] == '\r' ? "\r\n" : "\n") + Encoding.UTF8.GetString(text, lineStart, first - lineStart));
    }

    private static byte[] Replace(byte[] text, int start, int end, string by) => [.. text.AsSpan(0, start), .. Encoding.UTF8.GetBytes(by), .. text.AsSpan(end)];
}
