using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Numerics;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using StageView.Light.Geometry;
using StageView.Rig.Keys;
using StageView.Rig.Pieces;
using StageView.Rig.Solids;
using StageView.Rig.Source;

namespace StageView.Rig.Scene;

/// <summary>Where one fixture that a venue file hangs shall look.</summary>
/// <param name="Fixture">One that the venue brought.</param>
/// <param name="Point">Name of the focus point it looks at.</param>
public sealed record VenueAim(Fixture Fixture, string Point);

/// <summary>Aims the fixtures that a venue file hangs, in its text: all else of it stays as it is written.</summary>
public static class VenueAims
{
    private static readonly JsonSerializerOptions s_plain = new() { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping };

    /// <summary>The pose that a fixture without pan and tilt has when its hang is aimed at a point: it looks along its own -Z.</summary>
    /// <param name="pose">Its pose before, world.</param>
    /// <param name="point">m, not where it hangs.</param>
    public static Pose Aimed(Pose pose, Vector3 point) => pose with { Orientation = Turns.LookAlong(point - pose.Position) };

    /// <summary>The text of a venue file with aims in the hangs of its own, and the focus points they look at.</summary>
    /// <param name="file">The file's bytes.</param>
    /// <param name="shownAs">What messages call it.</param>
    /// <param name="aims">Which fixture looks at which point; one at least.</param>
    /// <param name="points">The points, world, m; names that the file doesn't use.</param>
    /// <param name="text">The new text, UTF-8.</param>
    /// <param name="why">What is wrong with the file, with its line; empty when it can be written to.</param>
    public static bool TryWrite(byte[] file, string shownAs, IReadOnlyList<VenueAim> aims, IReadOnlyList<(string Name, Vector3 At)> points,
        [NotNullWhen(true)] out byte[]? text, out string why)
    {
        ArgumentNullException.ThrowIfNull(file);
        ArgumentNullException.ThrowIfNull(aims);
        ArgumentNullException.ThrowIfNull(points);
        var problems = new ProblemList();
        text = null;
        if (SourceParser.TryParse(file, shownAs, problems) is not { } root || !KeyChecker.Check(root, SceneKeys.Venue, problems))
        {
            why = problems.ToList()[0].ToString();
            return false;
        }

        var edits = new List<(int Start, int End, string By)>();
        foreach (var hang in aims.GroupBy(a => a.Fixture.Source?.Path.ToString() ?? ""))
        {
            if (!hang.All(a => a.Fixture.OfVenue) || Find(root, hang.First().Fixture.Source?.Path) is not { Kind: SourceKind.Object } node)
            {
                why = $"{shownAs}: {hang.First().Fixture.Name} is not hung in this file";
                return false;
            }

            Edit(node, [.. hang.OrderBy(a => a.Fixture.Member)], edits);
        }

        Add(root, "focusPoints", points.Select(p => $"{{ \"name\": {Text(p.Name)}, \"at\": {Numbers(p.At)} }}"), edits);
        var written = file.AsEnumerable();
        foreach (var (start, end, by) in edits.OrderByDescending(e => e.Start))
        {
            written = [.. written.Take(start), .. Encoding.UTF8.GetBytes(by), .. written.Skip(end)];
        }

        (text, why) = ([.. written], "");
        return true;
    }

    private static void Edit(SourceNode hang, IReadOnlyList<VenueAim> aims, List<(int Start, int End, string By)> edits)
    {
        var members = hang.ListOf("members").ToLookup(m => m.IntegerOr("member", 0));
        var added = new List<string>();
        foreach (var aim in aims)
        {
            switch (members[aim.Fixture.Member].FirstOrDefault())
            {
                case { } own when own.Get("aim") is { } old:
                    edits.Add((old.Span.Start, old.Span.End, Text(aim.Point)));
                    break;
                case { } own:
                    edits.Add((own.Span.Start + 1, own.Span.Start + 1, $" \"aim\": {Text(aim.Point)},"));
                    break;
                default:
                    added.Add(string.Create(CultureInfo.InvariantCulture, $"{{ \"member\": {aim.Fixture.Member}, \"aim\": {Text(aim.Point)} }}"));
                    break;
            }
        }

        Add(hang, "members", added, edits);
    }

    /// <summary>Puts entries behind those of a list, or makes the list first in what holds it.</summary>
    private static void Add(SourceNode holder, string key, IEnumerable<string> entries, List<(int Start, int End, string By)> edits)
    {
        var text = string.Join(", ", entries);
        if (text.Length == 0)
        {
            return;
        }

        edits.Add(holder.Get(key) switch
        {
            { Items.Count: > 0 } list => (list.Items[^1].Span.End, list.Items[^1].Span.End, ", " + text),
            { } empty => (empty.Span.Start + 1, empty.Span.Start + 1, text),
            _ => (holder.Span.Start + 1, holder.Span.Start + 1, $" \"{key}\": [{text}],"),
        });
    }

    private static SourceNode? Find(SourceNode root, SourcePath? path)
    {
        SourceNode? node = root;
        foreach (var step in path?.Steps ?? [])
        {
            node = step.Key is { } key ? node?.Get(key) : node?.Items.ElementAtOrDefault(step.Item);
        }

        return path is null ? null : node;
    }

    private static string Text(string text) => JsonSerializer.Serialize(text, s_plain);

    // A tenth of a millimetre; no sign on zero.
    private static string Numbers(Vector3 v) => $"[{Number(v.X)}, {Number(v.Y)}, {Number(v.Z)}]";

    private static string Number(double v) => (Math.Round(v, 4) + 0.0).ToString("0.####", CultureInfo.InvariantCulture);
}
