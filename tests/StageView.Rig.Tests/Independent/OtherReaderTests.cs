using System.Globalization;
using System.IO.Compression;
using System.Numerics;
using System.Text.Json;
using StageView.Light.Geometry;
using StageView.Rig.Mvr;
using StageView.Rig.Pieces;
using StageView.Rig.Profiles;
using StageView.Rig.Scene;
using StageView.Rig.Tests.Gdtf;
using StageView.Rig.Tests.Mvr;

namespace StageView.Rig.Tests.Independent;

/// <summary>
/// GDTF and MVR archives as <c>tests/independent/read_fixtures.py</c> reads them, written from DIN SPEC 15800 and 15801 with nothing of ours: hundreds made by
/// chance, and those that we write ourselves.
/// </summary>
public sealed class OtherReaderTests : IDisposable
{
    private const float Millimetre = .001f;
    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void Archives_made_by_chance_are_read_as_the_other_reads_them(int seed)
    {
        FixtureArchives.Make(_temp.Folder, seed, 16);
        var said = FixtureArchives.Read(Directory.EnumerateFiles(_temp.Folder).Order(StringComparer.Ordinal));
        var (channels, pieces) = (0, 0);
        foreach (var file in said.EnumerateObject())
        {
            if (file.Name.EndsWith(".gdtf", StringComparison.Ordinal))
            {
                channels += Compare(file.Name, file.Value);
            }
            else
            {
                var name = Path.GetFileNameWithoutExtension(file.Name);
                pieces += Compare(MvrFile.Load(MvrFile.Import(_temp, File.ReadAllBytes(file.Name), "from " + name).RigFile), file.Value);
            }
        }

        Assert.True(channels > 300 && pieces > 150, $"{channels} channels, {pieces} pieces");
    }

    /// <summary>What the demo writes: the MVR and the GDTF files in it.</summary>
    [Fact]
    public void What_we_export_is_read_by_the_other_as_we_have_it()
    {
        Assert.True(RigLoader.TryLoad(Repo.Foundry, out var rig, out _));
        var mvr = Path.Combine(_temp.Folder, "foundry.mvr");
        using (var to = File.Create(mvr))
        {
            MvrExporter.Export(rig, to);
        }

        using (var archive = ZipFile.OpenRead(mvr))
        {
            foreach (var entry in archive.Entries.Where(e => e.Name.EndsWith(".gdtf", StringComparison.Ordinal)))
            {
                entry.ExtractToFile(Path.Combine(_temp.Folder, entry.Name));
            }
        }

        var said = FixtureArchives.Read(Directory.EnumerateFiles(_temp.Folder).Order(StringComparer.Ordinal));
        Assert.True(said.EnumerateObject().Where(f => f.Name != mvr).Sum(f => Compare(f.Name, f.Value)) > 50);

        // The scene as the other reads our export, against the rig itself, not against our own reading of it.
        var fixtures = said.GetProperty(mvr).GetProperty("fixtures").EnumerateArray().ToDictionary(f => f.GetProperty("name").GetString()!);
        var roots = PlacesAtRest.Roots(rig);
        Assert.Equal(rig.Fixtures.Count, fixtures.Count);
        foreach (var f in rig.Fixtures)
        {
            Same(fixtures[f.Name].GetProperty("world"), roots[f.Index.Value], Vector3.One, f.Name);
        }
    }

    /// <returns>How many channels were compared.</returns>
    private static int Compare(string path, JsonElement said)
    {
        var profile = GdtfReading.Read(File.ReadAllBytes(path), out var problems);
        Assert.True(profile is not null, $"{path}: {string.Join('\n', problems)}");
        Assert.True(profile.RefusedModes.Count == 0, $"{path}: {string.Join('\n', profile.RefusedModes)}");
        var modes = said.GetProperty("modes");
        Assert.Equal(modes.GetArrayLength(), profile.Modes.Count);
        foreach (var (mode, other) in profile.Modes.Zip(modes.EnumerateArray()))
        {
            Compare($"{Path.GetFileName(path)}, mode {mode.Name}", mode, other);
        }

        return profile.Modes.Sum(m => m.Channels.Count);
    }

    private static void Compare(string where, FixtureMode mode, JsonElement other)
    {
        Assert.Equal(other.GetProperty("name").GetString(), mode.Name);
        Equal(where, Join(other.GetProperty("footprints")), string.Join(' ', mode.Footprints));
        var nodes = mode.Geometry.ToDictionary(n => n.Name);
        var rest = new Pose[mode.Geometry.Count];
        foreach (var n in mode.Geometry)
        {
            rest[n.Index] = (n.Parent < 0 ? Pose.Identity : rest[n.Parent]).Compose(n.Pose);
        }

        foreach (var g in other.GetProperty("geometry").EnumerateArray())
        {
            var name = g.GetProperty("name").GetString()!;
            Assert.True(nodes.TryGetValue(name, out var node), $"{where}: no geometry {name}");
            Same(g.GetProperty("rest"), rest[node.Index], Vector3.One, $"{where}, {name}");
        }

        var channels = other.GetProperty("channels").EnumerateArray().ToList();
        Assert.True(channels.Count == mode.Channels.Count, $"{where}: {channels.Count} channels, {mode.Channels.Count} read");
        foreach (var (channel, said) in mode.Channels.Zip(channels))
        {
            Equal(where, Told(said), Told(mode, channel));
        }

        var relations = mode.Relations.Select(
            r => $"{r.MasterChannel} {r.FollowerChannel} {mode.Channels[r.FollowerChannel].Functions[r.FollowerFunction].Name} {r.Kind}");
        Equal(where, string.Join('\n', other.GetProperty("relations").EnumerateArray().Select(Join).Order(StringComparer.Ordinal)),
            string.Join('\n', relations.Order(StringComparer.Ordinal)));
    }

    /// <returns>How many meshes were compared.</returns>
    private static int Compare(RigScene rig, JsonElement said)
    {
        var fixtures = said.GetProperty("fixtures").EnumerateArray().ToList();
        var places = PlacesAtRest.Places(rig);
        var roots = PlacesAtRest.Roots(rig);
        Assert.Equal(fixtures.Count, rig.Fixtures.Count);
        foreach (var (f, other) in rig.Fixtures.Zip(fixtures))
        {
            var where = $"{rig.Name}, {f.Name}";
            Same(other.GetProperty("world"), roots[f.Index.Value], Vector3.One, where);
            var written = other.GetProperty("addresses").EnumerateArray().Where(a => a[0].GetInt32() <= f.Mode.Footprints.Count).Select(Join);
            Equal(where, string.Join('\n', written), string.Join('\n', f.Patch.Select(p => $"{p.Break} {p.Start.Universe.Value} {p.Start.Address}")));
        }

        var pieces = said.GetProperty("pieces").EnumerateArray().ToList();
        Assert.Equal(pieces.Count, rig.Scenery.Count);
        foreach (var (piece, other) in rig.Scenery.Zip(pieces))
        {
            var at = piece.Carrier is { } c ? places[c.Fixture.Value][c.Geometry].Compose(piece.Pose) : piece.Pose;
            Same(other.GetProperty("world"), at, piece.Scale, $"{rig.Name}, {piece.Name}");
        }

        foreach (var (point, other) in rig.FocusPoints.Zip(said.GetProperty("focus").EnumerateArray()))
        {
            Same(other.GetProperty("world"), new Pose(point.Position, Quaternion.Identity), Vector3.Zero, point.Name);
        }

        return pieces.Count;
    }

    /// <summary>The same matrix, by where it puts the origin and a metre along each axis.</summary>
    private static void Same(JsonElement matrix, in Pose pose, Vector3 scale, string where)
    {
        var m = matrix.EnumerateArray().Select(n => n.GetSingle()).ToArray();
        foreach (var p in (Vector3[])[Vector3.Zero, Vector3.UnitX, Vector3.UnitY, Vector3.UnitZ])
        {
            var local = scale == Vector3.Zero ? Vector3.Zero : p;
            var theirs = new Vector3(
                (m[0] * local.X) + (m[1] * local.Y) + (m[2] * local.Z) + m[3],
                (m[4] * local.X) + (m[5] * local.Y) + (m[6] * local.Z) + m[7],
                (m[8] * local.X) + (m[9] * local.Y) + (m[10] * local.Z) + m[11]);
            var ours = pose.TransformPoint(local * scale);
            Assert.True(Vector3.Distance(theirs, ours) < Millimetre / 10, $"{where}: {local} is at {theirs}, read as {ours}");
        }
    }

    private static void Equal(string where, string theirs, string ours) => Assert.True(theirs == ours, $"{where}\ntheirs: {theirs}\nours:   {ours}");

    private static string Join(JsonElement list) => string.Join(' ', list.EnumerateArray().Select(e => e.ToString()));

    private static string Told(JsonElement c)
    {
        var functions = c.GetProperty("functions").EnumerateArray().Select(f =>
            $"{f.GetProperty("name")} {f.GetProperty("attribute")} {f.GetProperty("from")}-{f.GetProperty("to")} "
            + $"{Short(f.GetProperty("physicalFrom").GetSingle())}-{Short(f.GetProperty("physicalTo").GetSingle())} "
            + $"{f.GetProperty("master")}:{f.GetProperty("modeFrom")}-{f.GetProperty("modeTo")} "
            + string.Join(',', f.GetProperty("sets").EnumerateArray().Select(s => $"{s.GetProperty("name")} {s.GetProperty("from")}-{s.GetProperty("to")}")));
        var highlight = c.GetProperty("highlight");
        return $"{c.GetProperty("geometry")} {c.GetProperty("break")}.[{Join(c.GetProperty("offsets"))}] {c.GetProperty("default")} "
            + $"{(highlight.ValueKind == JsonValueKind.Null ? "-" : highlight)}\n  {string.Join("\n  ", functions.Order(StringComparer.Ordinal))}";
    }

    private static string Told(FixtureMode mode, DmxChannel c)
    {
        var functions = c.Functions.Select(f =>
            $"{f.Name} {f.Attribute} {f.DmxFrom}-{f.DmxTo} {Short(f.PhysicalFrom)}-{Short(f.PhysicalTo)} {f.ModeMaster}:{f.ModeFrom}-{f.ModeTo} "
            + string.Join(',', f.Sets.Select(s => $"{s.Name} {s.DmxFrom}-{s.DmxTo}")));
        return $"{mode.Geometry[c.Geometry].Name} {c.Break}.[{string.Join(' ', c.Offsets)}] {c.Default} "
            + $"{(c.Highlight is { } h ? h.ToString(CultureInfo.InvariantCulture) : "-")}\n  {string.Join("\n  ", functions.Order(StringComparer.Ordinal))}";
    }

    private static string Short(float value) => value.ToString("G5", CultureInfo.InvariantCulture);
}
