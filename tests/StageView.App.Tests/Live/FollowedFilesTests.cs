using System.Globalization;
using SkiaSharp;
using StageView.Light.Moments;
using StageView.Live.Night;
using StageView.Live.Shown;
using StageView.Live.Terms;

namespace StageView.App.Tests.Live;

/// <summary>Whatever a rig is read from is followed: what is saved is shown.</summary>
public sealed class FollowedFilesTests : IDisposable
{
    private const string Rig = """
        {
          "name": "Followed",
          "profiles": ["profiles", "../../assets/fixtures"],
          "include": ["set/room.rig.jsonc"],
          "haze": { "extinction": 0.02, "albedo": 1, "forward": 0.6 },
          "scenery": [{ "name": "idol", "shape": "model", "file": "models/idol.obj", "at": [0, 4, 0] }],
          "hangs": [
            { "name": "patterned", "profile": "patterned", "at": [0, 0, 3], "patch": "1.1" },
            { "name": "front", "profile": "front-profile", "photometry": "measured.ies", "at": [2, 0, 3], "patch": "2.1" }
          ],
          "content": [{ "name": "clip", "file": "clip.png", "corner": [0, 0, 0], "across": [1, 0, 0], "down": [0, 0, -1], "luminance": 100 }]
        }
        """;

    private const string Patterned = """
        {
          "name": "Patterned",
          "wheels": [{ "name": "Gobos", "slots": [{ "name": "Open" }, { "name": "Own", "gobo": "own.png" }] }],
          "geometry": [{ "name": "lens", "beam": { "flux": 9000 } }],
          "modes": [{ "name": "One", "channels": [{ "attribute": "Dimmer" }] }]
        }
        """;

    private readonly RigCopy _copy = new("one-mirror");
    private readonly StillClock _clock = new();
    private readonly NightJournal _journal;

    public FollowedFilesTests()
    {
        _journal = new NightJournal(_clock);
        Write("one-mirror.rig.jsonc", Rig);
        Write("set/room.rig.jsonc", Room(8));
        Write("models/idol.obj", Idol(2));
        Write("profiles/patterned.fixture.jsonc", Patterned);
        Picture("profiles/own.png", 255);
        Write("measured.ies", Measured(1000));
    }

    public void Dispose() => _copy.Dispose();

    [Fact]
    public async Task An_included_file_of_scenery_is_followed()
    {
        using var show = Start();
        Assert.Equal(8, Piece(show, "floor").Scale.X);
        Write("set/room.rig.jsonc", Room(11));
        await Becomes(() => Piece(show, "floor").Scale.X == 11);
    }

    [Fact]
    public async Task A_model_is_followed()
    {
        using var show = Start();
        Assert.Equal(2, Top(show));
        Write("models/idol.obj", Idol(3));
        await Becomes(() => Top(show) == 3);
    }

    [Fact]
    public async Task A_gobo_is_followed()
    {
        using var show = Start();
        Assert.Equal(1, Shown(show).GoboImages[0].Transmission, .01f);
        Picture("profiles/own.png", 0);
        await Becomes(() => Shown(show).GoboImages[0].Transmission < .01f);
    }

    [Fact]
    public async Task Measured_intensities_are_followed()
    {
        using var show = Start();
        Assert.Equal(1000, Shown(show).Webs[0].PeakCandela);
        Write("measured.ies", Measured(2500));
        await Becomes(() => Shown(show).Webs[0].PeakCandela == 2500);
    }

    [Fact]
    public async Task A_file_that_was_missing_is_followed_when_it_comes()
    {
        using var show = Start();
        var version = show.Rig.Version;
        Picture("clip.png", 9);
        await Becomes(() => show.Rig.Version == version + 1);

        // A profile beside the rig goes before one of the same name that was found elsewhere.
        Write("front-profile.fixture.jsonc",
            Patterned.Replace("\"Patterned\"", "\"Own front\"", StringComparison.Ordinal).Replace("own.png", "dots", StringComparison.Ordinal));
        await Becomes(() => show.Rig.Fixtures[1].Type == "Own front");
    }

    [Fact]
    public async Task What_a_rig_at_fault_lacks_is_followed_without_a_try_at_intervals()
    {
        using var show = Start();
        Write("one-mirror.rig.jsonc", Rig.Replace("\"set/room.rig.jsonc\"", "\"set/room.rig.jsonc\", \"late.rig.jsonc\"", StringComparison.Ordinal));
        await Becomes(() => _journal.ToText().Contains("no file late.rig.jsonc to include", StringComparison.Ordinal));
        Write("late.rig.jsonc", """{ "name": "late", "scenery": [{ "name": "late", "shape": "box", "size": [1, 1, 1] }] }""");
        await Becomes(() => Shown(show).SceneryNames.Contains("late"));
    }

    private static string Room(int width) => string.Create(
        CultureInfo.InvariantCulture, $$"""{ "name": "room", "scenery": [{ "name": "floor", "shape": "plane", "size": [{{width}}, 8, 1] }] }""");

    /// <summary>A pyramid, Y up as OBJ has it.</summary>
    private static string Idol(int height) => string.Create(
        CultureInfo.InvariantCulture, $"v 0 0 0\nv 1 0 0\nv 0 0 1\nv 0 {height} 0\nf 1 2 4\nf 2 3 4\nf 3 1 4\nf 1 3 2\n");

    /// <summary>LM-63: the same intensity all round below, cd.</summary>
    private static string Measured(int candela) => string.Create(
        CultureInfo.InvariantCulture, $"IESNA:LM-63-2002\n[TEST] 1\nTILT=NONE\n1 -1 1 3 1 1 2 0 0 0\n1 1 100\n0 45 90\n0\n{candela} {candela} {candela}\n");

    private void Picture(string name, byte grey)
    {
        using var bitmap = new SKBitmap(16, 16);
        bitmap.Erase(new SKColor(grey, grey, grey));
        using var data = bitmap.Encode(SKEncodedImageFormat.Png, 100);
        Save(name, data.ToArray());
    }

    private void Write(string name, string text) => Save(name, System.Text.Encoding.UTF8.GetBytes(text));

    /// <summary>Saves as careful editors do: nobody reads half of it.</summary>
    private void Save(string name, byte[] bytes)
    {
        var path = Path.Combine(_copy.Folder, name);
        Directory.CreateDirectory(Path.GetDirectoryName(path)!);
        File.WriteAllBytes(path + ".new", bytes);
        File.Move(path + ".new", path, overwrite: true);
    }

    private LiveShow Start() => new(
        new LiveShowOptions
        {
            RigFile = _copy.File, Recordings = Path.Combine(_copy.Folder, "recordings"), Looks = _copy.Folder, LookAtFiles = TimeSpan.FromMilliseconds(40),
            E131Port = FreePort.Udp(), ArtNetPort = FreePort.Udp(),
        },
        _journal, _clock);

    /// <summary>What the drawing process gets.</summary>
    private static Moment Shown(LiveShow show)
    {
        var buffer = Array.Empty<byte>();
        int length;
        MomentHead head;
        byte[] tables;
        do
        {
            length = show.Newest(ref buffer, out head);
            tables = show.Tables(head.TablesVersion);
        }
        while (head.TablesVersion != show.Rig.Version);
        return MomentBytes.Read(buffer.AsSpan(0, length), MomentBytes.ReadTables(tables));
    }

    private static MeshInstance Piece(LiveShow show, string name)
    {
        var moment = Shown(show);
        return moment.Scenery.ToArray().First(s => moment.SceneryNames[s.Name.Value] == name);
    }

    private static float Top(LiveShow show) => Shown(show).Meshes[Piece(show, "idol").Mesh.Value].Positions.Max(p => p.Z);

    private async Task Becomes(Func<bool> holds)
    {
        var from = TimeProvider.System.GetTimestamp();
        while (!holds())
        {
            Assert.True(TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromSeconds(60), "it never came about; the journal says:\n" + _journal.ToText());
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }
    }

    /// <summary>No time passes: nothing is tried again for having waited.</summary>
    private sealed class StillClock : TimeProvider
    {
        public override long GetTimestamp() => 1;
    }
}
