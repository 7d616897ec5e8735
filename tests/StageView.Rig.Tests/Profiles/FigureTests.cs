using StageView.Rig.Gdtf;
using StageView.Rig.Source;

namespace StageView.Rig.Tests.Profiles;

/// <summary>Figures of lasers in profiles: shapes by their angles, frames of ILDA files, what is wrong with either.</summary>
public sealed class FigureTests : IDisposable
{
    private const string Rig = """
        { "profiles": ["."], "hangs": [{ "name": "laser", "profile": "scanner", "at": [0, 0, 4], "patch": "1.1" }] }
        """;

    private readonly TempRig _temp = new();

    public void Dispose() => _temp.Dispose();

    // ILDA Image Data Transfer Format, revision 011, format 5: x, y, status, blue, green, red.
    private static byte[] Ilda(params byte[][] records)
    {
        var bytes = new List<byte>();
        void Section(int count, IEnumerable<byte> body)
        {
            byte[] head = [.. "ILDA"u8, 0, 0, 0, 5, .. "square\0\0"u8, .. "nobody\0\0"u8, 0, (byte)count, 0, 0, 0, 1, 0, 0];
            bytes.AddRange([.. head, .. body]);
        }

        Section(records.Length, records.SelectMany(r => r));
        Section(0, []);
        return [.. bytes];
    }

    private void Profile(string figure, string slots = "") => _temp.Write("scanner.fixture.jsonc", $$"""
        {
          "name": "Scanner",
          "wheels": [{ "name": "figures", "slots": [{ "name": "none" }{{slots}}] }],
          "geometry": [{ "name": "aperture", "laser": { "power": 1, "wavelengths": [532]{{figure}} } }],
          "modes": [{ "name": "only", "channels": [{ "attribute": "Dimmer" }, { "attribute": "Gobo1", "wheel": "figures" }] }]
        }
        """);

    private IReadOnlyList<RigProblem> Refused(string figure)
    {
        Profile(", \"figure\": " + figure);
        return _temp.Refused(Rig);
    }

    [Fact]
    public void Shapes_by_their_angles()
    {
        Profile(""", "figure": { "shape": "fan", "angle": 60, "rays": 5, "rest": 8, "travel": 4, "rate": 20000, "turn": 90 }""",
            """, { "name": "ring", "figure": { "shape": "circle", "angle": 40 } }, { "name": "again", "figure": { "shape": "circle", "angle": 40 } }""");
        var rig = _temp.Load(Rig);
        // What is written twice is kept once.
        Assert.Equal(["circle", "fan"], rig.Scans.Select(s => s.Name));
        var fan = rig.Scans[rig.Fixtures[0].Mode.Geometry[0].Laser!.Scan - 1];
        Assert.Equal((60 / 20000.0, 5), (fan.FrameSeconds, fan.Rays.Count));
        // Turned by 90° to the left, the fan that began at the left begins below.
        Assert.Equal(-Math.PI / 6, fan.Rays[0].Direction.Y, 1e-5);
        Assert.Equal(0, fan.Rays[0].Direction.X, 1e-5);
        var slots = rig.Fixtures[0].Profile.Wheels[0].Slots;
        Assert.Equal([0, 1, 1], slots.Select(s => s.Scan));
        Assert.Equal(Math.PI / 9, rig.Scans[0].Points[0].X, 1e-5);
    }

    [Fact]
    public void A_frame_of_an_ILDA_file()
    {
        File.WriteAllBytes(Path.Combine(_temp.Folder, "square.ild"), Ilda([0x80, 0, 0x80, 0, 0x40, 0, 0, 0], [0x7F, 0xFF, 0x80, 0, 0, 0, 255, 0],
            [0x7F, 0xFF, 0x7F, 0xFF, 0x80, 0, 255, 0]));
        Profile(""", "figure": { "file": "square.ild", "angle": 30, "rate": 12000 }""");
        var rig = _temp.Load(Rig);
        var scan = Assert.Single(rig.Scans);
        Assert.Equal(("square", 12000.0, 3), (scan.Name, scan.PointsPerSecond, scan.Points.Count));
        Assert.Equal([0f, 1, 1], scan.Points.Select(p => p.Share));
        Assert.Equal(-Math.PI / 12, scan.Points[0].X, 1e-4);
        Assert.Equal(Math.PI / 12, scan.Points[2].Y, 1e-4);
        Assert.Contains(rig.Files, f => f.Kind == SourceFileKind.Figure && f.Found && f.FullPath.EndsWith("square.ild", StringComparison.Ordinal));
    }

    [Fact]
    public void A_GDTF_file_has_no_place_for_figures_and_says_so()
    {
        Profile(""", "figure": { "shape": "line", "angle": 20 }""");
        var rig = _temp.Load(Rig);
        GdtfWriter.Write(rig.Fixtures[0].Profile, rig, out var notes);
        Assert.Contains(notes, n => n.StartsWith("figures of lasers are not written", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData("{ \"angle\": 10 }", "$.geometry[0].laser.figure", "either a \"shape\" or a \"file\"")]
    [InlineData("{ \"shape\": \"fan\", \"file\": \"a.ild\", \"angle\": 10 }", "$.geometry[0].laser.figure", "either a \"shape\" or a \"file\"")]
    [InlineData("{ \"shape\": \"fan\" }", "$.geometry[0].laser.figure", "angle")]
    [InlineData("{ \"shape\": \"star\", \"angle\": 10 }", "$.geometry[0].laser.figure.shape", "\"circle\", \"line\", \"fan\"")]
    [InlineData("{ \"shape\": \"fan\", \"angle\": 121 }", "$.geometry[0].laser.figure.angle", "from 0.01 to 120")]
    [InlineData("{ \"file\": \"none.ild\", \"angle\": 10 }", "$.geometry[0].laser.figure.file", "no ILDA file none.ild beside this file")]
    [InlineData("{ \"file\": \"../out.ild\", \"angle\": 10 }", "$.geometry[0].laser.figure.file", "no ILDA file ../out.ild beside this file")]
    [InlineData("{ \"file\": \"broken.ild\", \"angle\": 10 }", "$.geometry[0].laser.figure.file", "broken.ild: byte 0: ")]
    [InlineData("{ \"file\": \"one.ild\", \"angle\": 10, \"frame\": 2 }", "$.geometry[0].laser.figure.frame", "frame 2: one.ild has 1")]
    public void What_is_wrong_is_told_with_its_place(string figure, string path, string says)
    {
        File.WriteAllBytes(Path.Combine(_temp.Folder, "broken.ild"), "ILDX and more bytes than a header of 32 takes"u8.ToArray());
        File.WriteAllBytes(Path.Combine(_temp.Folder, "one.ild"), Ilda([0, 0, 0, 0, 0, 0, 255, 0]));
        var problems = Refused(figure);
        Assert.Contains(problems, p => p.Line == 4 && p.Path == path && p.Text.Contains(says, StringComparison.Ordinal));
    }
}
