using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using StageView.Light.Geometry;
using StageView.Rig.Keys;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>One entry of a venue's <c>move</c>, for one copy of a part alone.</summary>
/// <param name="What">The copy's name.</param>
/// <param name="By">m, in the coordinates of what holds it.</param>
/// <param name="Turn">Degrees about the fixed x, then y, then z axis.</param>
/// <param name="Why">For the list of changes.</param>
public sealed record VenueMove(string What, Vector3d By, Vector3d Turn, string Why);

/// <summary>Writes venue files that move parts, or adds such moves to a venue file.</summary>
public static class VenueMoves
{
    private static readonly JsonSerializerOptions s_plain = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>A whole venue file.</summary>
    /// <param name="name">Name of the venue.</param>
    /// <param name="comments">Lines at its top.</param>
    /// <param name="moves">What it moves.</param>
    public static string Write(string name, IEnumerable<string> comments, IEnumerable<VenueMove> moves)
    {
        var text = new StringBuilder();
        foreach (var line in comments)
        {
            text.Append("// ").Append(line).Append('\n');
        }

        return text.Append("{\n  \"name\": ").Append(Text(name)).Append(",\n  \"move\": [\n    ").AppendJoin(",\n    ", moves.Select(Entry))
            .Append("\n  ]\n}\n").ToString();
    }

    /// <summary>The text of a venue file with moves behind its own; all else of it stays as it is written.</summary>
    /// <param name="file">The file's bytes.</param>
    /// <param name="shownAs">What messages call it.</param>
    /// <param name="moves">What is added.</param>
    /// <param name="text">The new text, UTF-8.</param>
    /// <param name="why">What is wrong with the file, with its line; empty when it can be added to.</param>
    public static bool TryAdd(byte[] file, string shownAs, IEnumerable<VenueMove> moves, [NotNullWhen(true)] out byte[]? text, out string why)
    {
        var problems = new ProblemList();
        text = null;
        if (SourceParser.TryParse(file, shownAs, problems) is not { } root || !KeyChecker.Check(root, SceneKeys.Venue, problems))
        {
            why = problems.ToList()[0].ToString();
            return false;
        }

        why = "";
        var entries = string.Join(",\n    ", moves.Select(Entry));
        var (at, added) = root.Get("move") switch
        {
            { Items.Count: > 0 } list => (list.Items[^1].Span.End, ",\n    " + entries),
            { } empty => (empty.Span.Start + 1, "\n    " + entries + "\n  "),
            _ => (root.Span.Start + 1, "\n  \"move\": [\n    " + entries + "\n  ],"),
        };
        text = [.. file[..at], .. Encoding.UTF8.GetBytes(added), .. file[at..]];
        return true;
    }

    private static string Entry(VenueMove move) =>
        $"{{ \"what\": {Text(move.What)}, \"alone\": true, \"by\": {Point(move.By)}, \"turn\": {Point(move.Turn)}, \"why\": {Text(move.Why)} }}";

    private static string Text(string text) => JsonSerializer.Serialize(text, s_plain);

    private static string Point(Vector3d v) => $"[{Number(v.X)}, {Number(v.Y)}, {Number(v.Z)}]";

    // A hundredth of a millimetre, a hundred-thousandth of a degree; no sign on zero.
    private static string Number(double v) => (Math.Round(v, 5) + 0.0).ToString("0.#####", CultureInfo.InvariantCulture);
}
