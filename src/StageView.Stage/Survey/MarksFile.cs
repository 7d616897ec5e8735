using System.Globalization;
using System.Text;
using StageView.Light.Geometry;
using StageView.Rig.Keys;
using StageView.Rig.Pieces;
using StageView.Rig.Source;
using StageView.Stage.Heads;
using StageView.Stage.Looks;

namespace StageView.Stage.Survey;

/// <summary>A marks file held against a rig: JSON with comments, taped marks and which heads were aimed at them.</summary>
/// <param name="Name">What was surveyed.</param>
/// <param name="Sightings">In the order of the file.</param>
public sealed record MarksFile(string Name, IReadOnlyList<Sighting> Sightings)
{
    /// <param name="rig">The rig.</param>
    /// <param name="json">The file's bytes.</param>
    /// <param name="file">What messages call it.</param>
    /// <param name="problems">What is wrong, each with line and path.</param>
    /// <returns>Null where anything is wrong.</returns>
    public static MarksFile? TryRead(RigScene rig, ReadOnlySpan<byte> json, string file, out IReadOnlyList<RigProblem> problems)
    {
        ArgumentNullException.ThrowIfNull(rig);
        var found = new ProblemList();
        MarksFile? marks = null;
        if (SourceParser.TryParse(json, file, found) is { } root && KeyChecker.Check(root, MarksKeys.Marks, found))
        {
            marks = Read(rig, root, found);
        }

        problems = found.ToList();
        return found.Errors == 0 ? marks : null;
    }

    /// <summary>The text of a marks file with pan and tilt written into sightings that had none; all else of it stays.</summary>
    /// <param name="json">The file's bytes.</param>
    /// <param name="read">Sightings of that file, with degrees.</param>
    public static byte[] WithAngles(byte[] json, IEnumerable<(Sighting Sighting, double Pan, double Tilt)> read)
    {
        ArgumentNullException.ThrowIfNull(json);
        foreach (var (s, pan, tilt) in read.OrderByDescending(r => r.Sighting.Place.Span!.Value.Start))
        {
            // Behind the opening brace: what stands before the closing one may be a comma or a comment.
            var at = s.Place.Span!.Value.Start + 1;
            var added = string.Create(CultureInfo.InvariantCulture, $" \"pan\": {pan:0.####}, \"tilt\": {tilt:0.####},");
            json = [.. json[..at], .. Encoding.UTF8.GetBytes(added), .. json[at..]];
        }

        return json;
    }

    /// <summary>The JSON Schema of marks files.</summary>
    public static string Schema() => SchemaWriter.Write(MarksKeys.Marks, "StageView marks file");

    private static MarksFile Read(RigScene rig, SourceNode root, ProblemList problems)
    {
        var points = root.Get("marks")!.Members.ToDictionary(m => m.Key, m => PointOf(m.Value), StringComparer.Ordinal);
        foreach (var p in rig.FocusPoints)
        {
            points.TryAdd(p.Name, Vector3d.From(p.Position));
        }

        var asked = new HashSet<string>(StringComparer.Ordinal);
        foreach (var part in root.ListOf("parts").Where(p => asked.Add(p.Text) && rig.Parts.All(r => r.Name != p.Text)))
        {
            problems.Error(part, $"no part is named \"{part.Text}\"{rig.WhereGone(part.Text)}"
                + Nearest.Among(part.Text, [.. rig.Parts.Select(p => p.Name)]));
        }

        var sightings = new List<Sighting>();
        foreach (var s in root.ListOf("sightings"))
        {
            var (fixture, at) = (Head(rig, s.Get("fixture")!, problems), s.TextOr("mark"));
            if (!points.TryGetValue(at, out var point))
            {
                problems.Error(s.Get("mark")!, $"no mark is named \"{at}\"{Nearest.Among(at, points.Keys)}");
            }
            else if (fixture is not null)
            {
                sightings.Add(new Sighting
                {
                    Fixture = fixture, Part = PartOf(rig, fixture, asked), Mark = at, At = point, Read = Angles(fixture, s, problems), Time = TimeOf(s),
                    Place = s.Place,
                });
            }
        }

        return new MarksFile(root.TextOr("name"), sightings);
    }

    private static Vector3d PointOf(SourceNode p) => new(p.Items[0].Number, p.Items[1].Number, p.Items[2].Number);

    private static string TimeOf(SourceNode s) => s.Get("time") is { Kind: SourceKind.Number } seconds
        ? seconds.Number.ToString("0.######", CultureInfo.InvariantCulture) : s.TextOr("time");

    /// <summary>The one head that is meant, if it can be surveyed with.</summary>
    private static Fixture? Head(RigScene rig, SourceNode named, ProblemList problems)
    {
        var text = named.Kind == SourceKind.Number ? named.Number.ToString(CultureInfo.InvariantCulture) : named.Text;
        if (!FixtureSelection.TryFind(rig, text, out var found, out var why))
        {
            problems.Error(named, why);
            return null;
        }

        var fixture = found[0];
        var chain = HeadChain.Of(fixture, fixture.Pose);
        var wrong = found.Count > 1 ? $"\"{text}\" means {found.Count} fixtures: name the one that was aimed"
            : chain is null || chain.Pan.From >= chain.Pan.To || chain.Tilt.From >= chain.Tilt.To
                ? $"{fixture.Name} has no pan and tilt with a beam: survey with moving heads"
            : fixture.Carrier is not null ? $"{fixture.Name} is carried by another fixture: survey with heads that hang on the part itself"
            : fixture.Part.IsNone
                ? $"{fixture.Name} hangs in no part of the rig file: put it with its truss or tower into one of the rig's \"parts\", which is what moves as one"
            : "";
        if (wrong.Length > 0)
        {
            problems.Error(named, wrong);
        }

        return wrong.Length > 0 ? null : fixture;
    }

    private static RigPart PartOf(RigScene rig, Fixture fixture, HashSet<string> asked)
    {
        for (var p = fixture.Part; !p.IsNone; p = rig.Parts[p.Value].Holder)
        {
            if (asked.Contains(rig.Parts[p.Value].Name))
            {
                return rig.Parts[p.Value];
            }
        }

        return rig.Parts[fixture.Part.Value];
    }

    private static (double Pan, double Tilt)? Angles(Fixture fixture, SourceNode s, ProblemList problems)
    {
        var (pan, tilt) = (s.Get("pan"), s.Get("tilt"));
        if (pan is null || tilt is null)
        {
            if ((pan ?? tilt) is { } one)
            {
                problems.Error(one, $"\"{(pan is null ? "pan" : "tilt")}\" is missing beside it: write both, or neither and take them from a capture");
            }

            return null;
        }

        if (s.Get("time") is { } time)
        {
            problems.Error(time, "\"time\" is for what is taken from a capture; this sighting has its own \"pan\" and \"tilt\"");
        }

        var chain = HeadChain.Of(fixture, fixture.Pose)!;
        Within(pan, "pan", chain.Pan);
        Within(tilt, "tilt", chain.Tilt);
        return (pan.Number, tilt.Number);

        void Within(SourceNode angle, string axis, (float From, float To) range)
        {
            if (angle.Number < range.From - .01 || angle.Number > range.To + .01)
            {
                problems.Error(angle, string.Create(CultureInfo.InvariantCulture,
                    $"the {axis} of {fixture.Name} goes from {range.From:0.###} to {range.To:0.###} degrees, not to {angle.Number:0.###}"));
            }
        }
    }
}
