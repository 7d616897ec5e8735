using System.Globalization;
using System.Numerics;
using System.Security.Cryptography;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Rig.Pieces;

namespace StageView.Paperwork.Changes;

/// <summary>
/// What is different between two rigs. Things are the same where they came with the same identity (MVR), else where they have the same name. Places are those
/// at rest.
/// </summary>
public static class RigChanges
{
    /// <summary>m; what moved less stands where it stood.</summary>
    private const float Still = .0005f;

    /// <summary>Degrees.</summary>
    private const float Unturned = .01f;

    /// <summary>Gone, added, altered, moved: fixtures, then scenery, then focus points. What moves as one is one change.</summary>
    public static IReadOnlyList<RigChange> Between(RigScene before, RigScene after)
    {
        ArgumentNullException.ThrowIfNull(before);
        ArgumentNullException.ThrowIfNull(after);
        return
        [
            .. Together(Fixtures(before, after)),
            .. Together(Scenery(before, after)),
            .. Together(Compare("focus point", before.FocusPoints, after.FocusPoints, p => p.Uuid, p => p.Name,
                (a, b) => Pairs(a.Name, b.Name, new Pose(a.Position, Quaternion.Identity), new Pose(b.Position, Quaternion.Identity)), p => (p.Name, ""))),
        ];
    }

    private static IEnumerable<RigChange> Fixtures(RigScene before, RigScene after)
    {
        var (from, to) = (PlacesAtRest.Roots(before), PlacesAtRest.Roots(after));
        var files = new Dictionary<string, string>(StringComparer.Ordinal);
        return Compare("fixture", before.Fixtures, after.Fixtures, f => f.Uuid, f => f.Name,
            (a, b) => Pairs(a.Name, b.Name, from[a.Index.Value], to[b.Index.Value])
                .Concat(Other("type", a.Profile.Name, b.Profile.Name))
                .Concat(a.Profile.Name == b.Profile.Name && Hash(a.Profile.File, files) != Hash(b.Profile.File, files)
                    ? [(ChangeKind.Altered, "its type's file is another one")] : [])
                .Concat(Other("mode", a.Mode.Name, b.Mode.Name))
                .Concat(Other("address", Patch(a), Patch(b)))
                .Concat(Other("number", a.Number, b.Number))
                .Concat(Other("shares the addresses of", Shared(before, a), Shared(after, b)))
                .Concat(Other("carried by", Carrier(before, a), Carrier(after, b)))
                .Concat(Other("position", a.Position, b.Position))
                .Concat(Other("focus", a.Focus, b.Focus))
                .Concat(a.Filter != b.Filter ? [(ChangeKind.Altered, "its filter is another one")] : [])
                .Concat(a.InvertPan != b.InvertPan ? [(ChangeKind.Altered, "pan is turned round")] : [])
                .Concat(a.InvertTilt != b.InvertTilt ? [(ChangeKind.Altered, "tilt is turned round")] : []),
            f => ($"{f.Name} ({(Patch(f) is { Length: > 0 } p ? p : "no address")})", $", {f.Profile.Name}, {f.Mode.Name}"));
    }

    private static IEnumerable<RigChange> Scenery(RigScene before, RigScene after)
    {
        var (from, to) = (PlacesAtRest.Places(before), PlacesAtRest.Places(after));
        static Pose Place(SceneryPiece s, Pose[][] places) => s.Carrier is { } c ? places[c.Fixture.Value][c.Geometry].Compose(s.Pose) : s.Pose;
        var meshes = new Dictionary<(bool After, int Mesh), string>();
        string Shape(RigScene rig, int mesh)
        {
            if (!meshes.TryGetValue((rig == after, mesh), out var known))
            {
                meshes[(rig == after, mesh)] = known = Hash(rig.Meshes[mesh]);
            }

            return known;
        }

        // Pieces of one object share its identity: the name tells which.
        return Compare("scenery", before.Scenery, after.Scenery, s => s.Uuid.Length > 0 ? s.Uuid + " " + s.Name : "", s => s.Name,
            (a, b) => Pairs(a.Name, b.Name, Place(a, from), Place(b, to))
                .Concat(Vector3.Distance(a.Scale, b.Scale) > Still ? [(ChangeKind.Altered, $"size × {V(a.Scale)} becomes × {V(b.Scale)}")] : [])
                .Concat(Shape(before, a.Mesh) != Shape(after, b.Mesh) ? [(ChangeKind.Altered, "its shape is another one")] : []),
            s => (s.Name, ""), s => V(s.Pose.Position));
    }

    private static IEnumerable<RigChange> Compare<T>(
        string what, IReadOnlyList<T> before, IReadOnlyList<T> after, Func<T, string> uuidOf, Func<T, string> nameOf,
        Func<T, T, IEnumerable<(ChangeKind Kind, string Text)>> differences, Func<T, (string Name, string Kind)> described,
        Func<T, string>? placeOf = null)
    {
        // Of several with one name those that stand where they stood are the same.
        string Placed(T thing) => placeOf is null ? "" : $"{nameOf(thing)} {placeOf(thing)}";
        var partner = new int[after.Count];
        Array.Fill(partner, -1);
        var taken = new bool[before.Count];
        foreach (var key in (Func<T, string>[])[uuidOf, Placed, nameOf])
        {
            var byKey = new Dictionary<string, Queue<int>>(StringComparer.OrdinalIgnoreCase);
            for (var i = 0; i < before.Count; i++)
            {
                if (!taken[i] && key(before[i]) is { Length: > 0 } k)
                {
                    (byKey.TryGetValue(k, out var q) ? q : byKey[k] = new Queue<int>()).Enqueue(i);
                }
            }

            for (var i = 0; i < after.Count; i++)
            {
                // One that came with another identity is another, whatever its name.
                if (partner[i] < 0 && byKey.TryGetValue(key(after[i]), out var q) && q.Count > 0
                    && (key == uuidOf || uuidOf(after[i]).Length == 0 || uuidOf(before[q.Peek()]).Length == 0))
                {
                    partner[i] = q.Dequeue();
                    taken[partner[i]] = true;
                }
            }
        }

        for (var i = 0; i < before.Count; i++)
        {
            if (!taken[i])
            {
                yield return new RigChange(ChangeKind.Gone, what, [nameOf(before[i])], "is gone");
            }
        }

        for (var i = 0; i < after.Count; i++)
        {
            if (partner[i] < 0)
            {
                var (name, kindOf) = described(after[i]);
                yield return new RigChange(ChangeKind.Added, what, [name], "is new" + kindOf);
                continue;
            }

            foreach (var (kind, text) in differences(before[partner[i]], after[i]))
            {
                yield return new RigChange(kind, what, [nameOf(after[i])], text);
            }
        }
    }

    private static IEnumerable<RigChange> Together(IEnumerable<RigChange> changes) => changes
        .GroupBy(c => (c.Kind, c.What, c.Text))
        .Select(g => new RigChange(g.Key.Kind, g.Key.What, [.. g.SelectMany(c => c.Names)], g.Key.Text))
        .OrderBy(c => c.Kind switch { ChangeKind.Gone => 0, ChangeKind.Added => 1, ChangeKind.Altered => 2, _ => 3 });

    private static IEnumerable<(ChangeKind Kind, string Text)> Pairs(string nameBefore, string nameAfter, Pose before, Pose after)
    {
        if (nameBefore != nameAfter)
        {
            yield return (ChangeKind.Altered, $"was named {nameBefore}");
        }

        var by = after.Position - before.Position;
        var dot = Math.Abs((double)Quaternion.Dot(before.Orientation, after.Orientation));
        var turned = (float)(2 * Math.Acos(Math.Min(1, dot)) * 180 / Math.PI);

        // Single-precision quaternions give a few hundredths of a degree for nothing at all.
        if (turned < .1f)
        {
            var x = Vector3.Distance(before.TransformDirection(Vector3.UnitX), after.TransformDirection(Vector3.UnitX));
            var z = Vector3.Distance(before.TransformDirection(Vector3.UnitZ), after.TransformDirection(Vector3.UnitZ));
            turned = Math.Max(x, z) * (180 / MathF.PI);
        }

        var moves = new List<string>();
        if (by.Length() > Still)
        {
            moves.Add($"moves by {Meters(by.Length())} m ({Ways(by)})");
        }

        if (turned > Unturned)
        {
            moves.Add(string.Create(CultureInfo.InvariantCulture, $"turns by {turned:0.0#} degrees"));
        }

        if (moves.Count > 0)
        {
            yield return (ChangeKind.Moved, string.Join(" and ", moves));
        }
    }

    /// <summary>The axes of the rig file, in words.</summary>
    private static string Ways(Vector3 by) => string.Join(", ", new[]
    {
        (by.X, "to the audience's right", "to the audience's left"), (by.Y, "upstage", "downstage"), (by.Z, "up", "down"),
    }.Where(w => MathF.Abs(w.Item1) > Still).Select(w => $"{Meters(MathF.Abs(w.Item1))} {(w.Item1 > 0 ? w.Item2 : w.Item3)}"));

    private static string Meters(float m) => m.ToString(m < .01f ? "0.####" : "0.##", CultureInfo.InvariantCulture);

    private static IEnumerable<(ChangeKind Kind, string Text)> Other(string what, string before, string after) =>
        before == after ? [] : [(ChangeKind.Altered, $"{what} {Word(before)} becomes {Word(after)}")];

    private static string Word(string text) => text.Length > 0 ? text : "none";

    private static string Patch(Fixture f) => string.Join(" + ", f.Patch.Select(p => p.Start.ToString()));

    private static string Shared(RigScene rig, Fixture f) => f.SharesPatchOf.IsNone ? "" : rig[f.SharesPatchOf].Name;

    private static string Carrier(RigScene rig, Fixture f) => f.Carrier is { } c ? rig[c.Fixture].Name : "";

    private static string V(Vector3 v) => string.Create(CultureInfo.InvariantCulture, $"({v.X:0.###}, {v.Y:0.###}, {v.Z:0.###})");

    private static string Hash(string file, Dictionary<string, string> known)
    {
        if (!known.TryGetValue(file, out var hash))
        {
            try
            {
                hash = Convert.ToHexString(SHA256.HashData(File.ReadAllBytes(file)));
            }
            catch (Exception e) when (e is IOException or UnauthorizedAccessException)
            {
                hash = "";
            }

            known[file] = hash;
        }

        return hash;
    }

    private static string Hash(SceneMesh mesh)
    {
        using var hash = IncrementalHash.CreateHash(HashAlgorithmName.SHA256);
        hash.AppendData(System.Runtime.InteropServices.MemoryMarshal.AsBytes<Vector3>(mesh.Positions));
        hash.AppendData(System.Runtime.InteropServices.MemoryMarshal.AsBytes<int>(mesh.Indices));
        return Convert.ToHexString(hash.GetHashAndReset());
    }
}
