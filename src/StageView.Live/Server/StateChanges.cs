using System.Text.Json;
using StageView.Live.Terms;

namespace StageView.Live.Server;

/// <summary>
/// What a page is told of the state: whole once, and from then on what is different since it was told last, as a JSON Patch (RFC 6902) of the
/// operations add, remove and replace.
/// </summary>
internal sealed class StateChanges
{
    /// <summary>Of an operation beside its path and value, bytes.</summary>
    private const int Around = 36;

    private JsonElement? _last;

    /// <summary>The message that brings the page to a state.</summary>
    public byte[] Next(object state)
    {
        var now = JsonSerializer.SerializeToElement(state, LiveJson.Options);
        var whole = JsonSerializer.SerializeToUtf8Bytes(new { t = "state", state = now }, LiveJson.Options);
        var before = _last;
        _last = now;
        if (before is not { } last)
        {
            return whole;
        }

        var patch = new List<Change>();
        Compare("", last, now, patch);
        var changes = JsonSerializer.SerializeToUtf8Bytes(new { t = "changes", patch }, LiveJson.Options);
        return changes.Length < whole.Length ? changes : whole;
    }

    /// <summary>Operations that make one document the other.</summary>
    public static IReadOnlyList<Change> Between(JsonElement a, JsonElement b)
    {
        var patch = new List<Change>();
        Compare("", a, b, patch);
        return patch;
    }

    private static void Compare(string path, JsonElement a, JsonElement b, List<Change> into)
    {
        if (a.ValueKind == JsonValueKind.Object && b.ValueKind == JsonValueKind.Object)
        {
            foreach (var p in b.EnumerateObject())
            {
                if (a.TryGetProperty(p.Name, out var old))
                {
                    Compare(Step(path, p.Name), old, p.Value, into);
                }
                else
                {
                    into.Add(new Change("add", Step(path, p.Name), p.Value));
                }
            }

            into.AddRange(a.EnumerateObject().Where(p => !b.TryGetProperty(p.Name, out _)).Select(p => new Change("remove", Step(path, p.Name), null)));
        }
        else if (a.ValueKind == JsonValueKind.Array && b.ValueKind == JsonValueKind.Array && a.GetArrayLength() == b.GetArrayLength())
        {
            var inside = new List<Change>();
            foreach (var (i, (x, y)) in a.EnumerateArray().Zip(b.EnumerateArray()).Index())
            {
                Compare(Step(path, i.ToString(System.Globalization.CultureInfo.InvariantCulture)), x, y, inside);
            }

            // Where nearly everything is different, the list as it is now is shorter.
            if (inside.Sum(c => Around + c.Path.Length + (c.Value?.GetRawText().Length ?? 0)) > Around + path.Length + b.GetRawText().Length)
            {
                into.Add(new Change("replace", path, b));
            }
            else
            {
                into.AddRange(inside);
            }
        }
        else if (!JsonElement.DeepEquals(a, b))
        {
            into.Add(new Change("replace", path, b));
        }
    }

    /// <summary>RFC 6901: a stroke is written ~1, a tilde ~0.</summary>
    private static string Step(string path, string name) =>
        path + "/" + name.Replace("~", "~0", StringComparison.Ordinal).Replace("/", "~1", StringComparison.Ordinal);

    /// <param name="Op"><c>add</c>, <c>remove</c> or <c>replace</c>.</param>
    /// <param name="Path">Where, a JSON Pointer (RFC 6901).</param>
    /// <param name="Value">What is there from now on; null where it is removed.</param>
    internal sealed record Change(string Op, string Path, JsonElement? Value);
}
