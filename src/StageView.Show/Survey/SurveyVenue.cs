using System.Globalization;
using StageView.Ground.Files;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Show.Rigs;
using StageView.Stage.Survey;

namespace StageView.Show.Survey;

/// <summary>Writes what a survey found as a venue file, and holds the rig under it against what was found.</summary>
public static class SurveyVenue
{
    private const int MostBytes = 16 << 20;

    /// <summary>Writes the known parts; where a venue was laid over the rig, its text stays and the moves come behind its own.</summary>
    /// <param name="asked">What was asked.</param>
    /// <param name="answer">The answer; one part known at least.</param>
    /// <param name="path">Where it goes.</param>
    /// <returns>What doesn't go along with the surveyed parts, a line each.</returns>
    /// <exception cref="StopException">It would overwrite what it came from, can't be written, or doesn't say what was found.</exception>
    public static IReadOnlyList<string> Write(SurveyAsked asked, SurveyAnswer answer, string path)
    {
        var full = Path.GetFullPath(path);
        foreach (var source in new[] { asked.Rig, asked.Marks, asked.Venue ?? asked.Rig }.Where(f => Path.GetFullPath(f) == full))
        {
            throw StopException.Wrong($"--out {path} would overwrite {source}: name another file");
        }

        if (asked.Venue is { } venue && Path.GetDirectoryName(full) != Path.GetDirectoryName(Path.GetFullPath(venue)))
        {
            throw StopException.Wrong($"--out {path}: it goes beside {venue}, which it holds: files named in there are found from its folder");
        }

        WholeFile.Write(full, Text(asked, answer));
        return Check(asked, answer, full);
    }

    /// <summary>The moves of the known parts; one within another moves what that one leaves.</summary>
    public static IReadOnlyList<VenueMove> Moves(SurveyAnswer answer)
    {
        ArgumentNullException.ThrowIfNull(answer);
        return [.. Movable(answer).Select(p =>
        {
            var motion = p.Fit!.Motion;
            var (by, turn) = p.Part.MoveOf(Over(answer, p.Part.Holder) is { } holder ? holder.Inverse().After(motion) : motion);
            var (metres, radians) = (WeakGeometry.Worst(p.Fit.Covariance!, 0), WeakGeometry.Worst(p.Fit.Covariance!, 3));
            return new VenueMove(p.Part.Name, by, turn, string.Create(CultureInfo.InvariantCulture,
                $"surveyed: {p.Sightings.Count} sightings of {p.Heads} heads, known to ±{metres * 1000:0} mm and ±{radians * 180 / Math.PI:0.00} degrees"));
        })];
    }

    /// <summary>The known parts that the venue's moves can name.</summary>
    private static IEnumerable<SurveyedPart> Movable(SurveyAnswer answer) => answer.Known.Where(p => !p.Part.OfVenue);

    private static byte[] Text(SurveyAsked asked, SurveyAnswer answer)
    {
        var moves = Moves(answer);
        if (asked.Venue is not { } venue)
        {
            return System.Text.Encoding.UTF8.GetBytes(VenueMoves.Write(answer.Name,
                [
                    $"Where the rig hangs, worked out from the sightings in {Path.GetFileName(asked.Marks)}.",
                    "For looking and planning: what may hang where is decided by a qualified rigger.",
                ], moves));
        }

        if (!BoundedFile.TryRead(venue, MostBytes, out var bytes, out var why))
        {
            throw StopException.Wrong($"{venue}: {why}");
        }

        return VenueMoves.TryAdd(bytes, venue, moves, out var text, out why) ? text : throw StopException.Wrong(why);
    }

    /// <summary>The motion of the innermost surveyed part that holds something, or null.</summary>
    private static RigidMotion? Over(SurveyAnswer answer, PartIndex part)
    {
        for (; !part.IsNone; part = answer.Rig.Parts[part.Value].Holder)
        {
            if (Movable(answer).FirstOrDefault(p => p.Part.Index == part) is { } known)
            {
                return known.Fit!.Motion;
            }
        }

        return null;
    }

    private static List<string> Check(SurveyAsked asked, SurveyAnswer answer, string path)
    {
        var under = RigFiles.Open(asked.Rig, path);
        var astray = answer.Rig.Fixtures.Where(f => f.Carrier is null && !IsAt(under[f.Index], f, Over(answer, f.Part) ?? RigidMotion.Identity)).ToList();
        var sighted = Movable(answer).SelectMany(p => p.Sightings).Select(s => s.Sighting.Fixture.Index).ToHashSet();
        if (astray.Find(f => sighted.Contains(f.Index)) is { } wrong)
        {
            File.Delete(path);
            throw StopException.Wrong($"no venue file can say it: {wrong.Name} would hang or look elsewhere. Its base must not be aimed at a named point, and "
                + $"\"{answer.Rig.Parts[wrong.Part.Value].Name}\" must be the name of one thing in the rig");
        }

        return [.. answer.Known.Where(p => p.Part.OfVenue).Select(Own),
            .. astray.Select(f => Over(answer, f.Part) is null ? $"{f.Name} is moved as well: something of it is named like a surveyed part"
            : $"{f.Name} looks at a named point and keeps looking at it")];
    }

    private static string Own(SurveyedPart p)
    {
        var (by, turn) = p.Part.MoveOf(p.Fit!.Motion);
        return string.Create(CultureInfo.InvariantCulture, $"{p.Part.Source.FileAndLine}: \"{p.Part.Name}\" is the venue's own and is not among its moves: ")
            + string.Create(CultureInfo.InvariantCulture, $"write it there, \"at\" further by [{by.X:0.####}, {by.Y:0.####}, {by.Z:0.####}], ")
            + string.Create(CultureInfo.InvariantCulture, $"turned further by [{turn.X:0.####}, {turn.Y:0.####}, {turn.Z:0.####}] degrees");
    }

    private static bool IsAt(Fixture now, Fixture before, RigidMotion motion)
    {
        var place = motion.Apply(Vector3d.From(before.Pose.Position)) - Vector3d.From(now.Pose.Position);
        bool Looks(System.Numerics.Vector3 axis) =>
            (motion.Turn(Vector3d.From(before.Pose.TransformDirection(axis))) - Vector3d.From(now.Pose.TransformDirection(axis))).Length < 1e-4;
        return place.Length < 5e-4 && Looks(System.Numerics.Vector3.UnitX) && Looks(System.Numerics.Vector3.UnitZ);
    }
}
