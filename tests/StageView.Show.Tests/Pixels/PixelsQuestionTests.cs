using System.Net;
using System.Net.Sockets;
using SkiaSharp;
using StageView.Rig.Pieces;
using StageView.Rig.Scene;
using StageView.Show.Pixels;
using StageView.Show.Rigs;
using StageView.Show.Sources;
using StageView.Wire.Capture;
using StageView.Wire.E131;

namespace StageView.Show.Tests.Pixels;

/// <summary>A panel that tilts under a picture: followed, and its content corrected.</summary>
public sealed class PixelsQuestionTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    // The table of an .8 m panel of 5 x 5 whose face lies 3 cm off the axis: r cos t - d sin t (geometry), a wipe of 2 m/s.
    [Theory]
    [InlineData(0, 0, 0, 0)]
    [InlineData(30, .058, 29, 0)]
    [InlineData(60, .19, 93, 0)]
    [InlineData(90, .35, 175, 0)]
    [InlineData(180, .64, 320, 25)]
    public void The_table_of_a_tilted_panel(int degrees, double metres, double milliseconds, int away)
    {
        var rig = Rig();
        var question = PixelsQuestion.Open(rig, null, "ramp");
        using var source = SourceChoice.Open(rig, Tilted(_ => degrees), null, null);
        var row = question.Track(source, [TimeSpan.FromSeconds(.5)], 2).Times[0];
        Assert.Equal(metres, row.Largest, .005);
        Assert.Equal(milliseconds, row.WipeSeconds * 1000, .6);
        Assert.Equal(away, row.Away);
        Assert.Equal(25, question.Map.Pixels);
    }

    // A picture that is evenly brighter downwards: at rest the map is right, tilted it is wrong by the slope times the displacement, 1/4 a metre here.
    [Fact]
    public void The_picture_is_wrong_by_its_slope_times_the_displacement()
    {
        var rig = Rig();
        var question = PixelsQuestion.Open(rig, null, "ramp");
        using var source = SourceChoice.Open(rig, Tilted(i => i < 5 ? 0 : 40), null, null);
        var answer = question.Track(source, [TimeSpan.FromSeconds(.1), TimeSpan.FromSeconds(1.9)], 2);
        Assert.Equal(0, answer.Times[0].LevelError!.Value, 1e-4f);
        var (sin, cos) = MathF.SinCos(40 * MathF.PI / 180);
        var expected = Enumerable.Range(-2, 5).Average(k => MathF.Abs((k * .16f * cos) - (.03f * sin) - (k * .16f))) / 4;
        Assert.Equal(expected, answer.Times[1].LevelError!.Value, 2e-3f);
        Assert.Equal("panel", Assert.Single(answer.Panels).Fixture);
    }

    // What was computed is what an independent receiver reads (npm sacn).
    [Fact]
    public void Corrected_levels_come_through_an_independent_receiver()
    {
        var rig = Rig();
        using var source = SourceChoice.Open(rig, Tilted(i => 3 * i), null, null);
        var levels = new CorrectedLevels(PixelsQuestion.Open(rig, null, "ramp"), source);
        var file = Path.Combine(_folder.Path, "corrected.pcapng");
        using (var stream = File.Create(file))
        {
            var report = levels.Write(stream, TimeSpan.Zero, TimeSpan.FromSeconds(1.5), 20, TimeSpan.FromMilliseconds(40));
            Assert.Equal([1], report.Universes);
            Assert.Equal(31, report.Ticks);
        }

        var packets = CaptureReader.Read(file).ToList();
        var heard = Heard(packets.Count, port =>
        {
            using var socket = new UdpClient();
            foreach (var packet in packets)
            {
                socket.Send(packet.Payload.Span, new IPEndPoint(IPAddress.Loopback, port));
            }
        });
        for (var i = 0; i < packets.Count; i++)
        {
            levels.Make(packets[i].At, TimeSpan.FromMilliseconds(40));
            Assert.Equal($"1 {i} {Convert.ToHexStringLower(levels.LevelsOf(0))}", heard[i]);
        }

        // The console's own addresses stay, and the panel's pixels follow it.
        Assert.True(heard.Select(h => h.Split(' ')[2][4..]).Distinct().Count() > 10, "the pixels don't change while the panel tilts");
    }

    // Sent at once, an independent receiver (npm sacn) reads what is worked out for the time of each frame; the sequence number tells which.
    [Fact]
    public void Corrected_levels_are_sent_as_they_are_due_and_the_stream_is_ended()
    {
        var rig = Rig();
        using var source = SourceChoice.Open(rig, Tilted(i => 3 * i), null, null);
        var levels = new CorrectedLevels(PixelsQuestion.Open(rig, null, "ramp"), source);
        var latency = TimeSpan.FromMilliseconds(40);
        using var other = new UdpClient(new IPEndPoint(IPAddress.Loopback, 0));
        SentReport? report = null;
        var heard = Heard(2, port =>
        {
            using var sender = new StreamSender(IPAddress.Loopback, port);

            // The first and the last of a show are sent however late they are made.
            report = levels.Send(sender, TimeSpan.Zero, TimeSpan.FromSeconds(.5), 2, latency, TimeProvider.System, CancellationToken.None);
            Assert.Equal((2, 1), (sender.Sent, sender.Streams));
        });
        Assert.Equal([1], report!.Universes);
        Assert.Equal((2, 0), (report.Ticks, report.LeftOut));
        for (var i = 0; i < 2; i++)
        {
            levels.Make(TimeSpan.FromSeconds(.5 * i), latency);
            Assert.Equal($"1 {i} {Convert.ToHexStringLower(levels.LevelsOf(0))}", heard[i]);
        }

        Assert.NotEqual(heard[0].Split(' ')[2], heard[1].Split(' ')[2]);

        // E1.31-2018 6.2.6: three packets end a stream.
        using (var sender = new StreamSender(IPAddress.Loopback, ((IPEndPoint)other.Client.LocalEndPoint!).Port))
        {
            levels.Send(sender, TimeSpan.Zero, TimeSpan.Zero, 40, latency, TimeProvider.System, CancellationToken.None);
        }

        var ends = Enumerable.Range(0, 4).Select(_ =>
        {
            var from = new IPEndPoint(IPAddress.Any, 0);
            Assert.True(E131Parser.TryParse(other.Receive(ref from), out E131DataPacket packet, out var _));
            return packet.Terminated;
        }).ToList();
        Assert.Equal([false, true, true, true], ends);
    }

    // Looked at from where it will be, a panel that travels is further on; one that stands is not.
    [Fact]
    public void Latency_is_made_up_for_along_the_way_that_is_known()
    {
        var rig = Rig();
        using var source = SourceChoice.Open(rig, Tilted(i => i < 20 ? 0 : 90), null, null);
        var levels = new CorrectedLevels(PixelsQuestion.Open(rig, null, "ramp"), source);
        string Made(double at, double latency)
        {
            levels.Make(TimeSpan.FromSeconds(at), TimeSpan.FromSeconds(latency));
            return Convert.ToHexStringLower(levels.LevelsOf(0));
        }

        // Ordered at 1 s; 90 degrees at 60 a second take longer than half a second.
        Assert.Equal(Made(1.4, 0), Made(1.2, .2));
        Assert.NotEqual(Made(1.2, 0), Made(1.2, .2));
        Assert.Equal(Made(.5, 0), Made(.5, .4));
    }

    // A panel that stands, under a picture a second that brightens: what will be lit in .4 s is the picture of then.
    [Fact]
    public void Latency_is_made_up_for_in_the_content_too()
    {
        var rig = Rig(moving: true);
        using var source = SourceChoice.Open(rig, Tilted(_ => 0), null, null);
        var levels = new CorrectedLevels(PixelsQuestion.Open(rig, null, "ramp"), source);
        byte Made(double at, double latency)
        {
            levels.Make(TimeSpan.FromSeconds(at), TimeSpan.FromSeconds(latency));
            return levels.LevelsOf(0)[2];
        }

        // Code values 64 and 255 as light, by IEC 61966-2-1: (((64 / 255) + .055) / 1.055)^2.4 = .0513.
        Assert.Equal(13, Made(.7, 0));
        Assert.Equal(255, Made(.7, .4));
        Assert.Equal(13, Made(.3, .4));
    }

    [Fact]
    public void A_map_is_the_same_after_its_table_was_written_and_read()
    {
        var foundry = RigFiles.Open(Path.Combine(Repo.Root, "scenes", "foundry", "panels.rig.jsonc"));
        var rows = PixelsQuestion.Open(foundry, "wall", null).Rows();
        Assert.Equal(1530, rows.Count);
        // Serpentine: the eleventh pixel along the wire lies below the tenth.
        Assert.Equal(rows[9].U, rows[10].U, 1e-6f);
        Assert.Equal("11.31", rows[10].Address);
        var file = _folder.File("wall.csv", PixelMapCsv.Write(rows));
        var rig = _folder.File("hand.rig.jsonc", $$"""
            {
              "include": [{{System.Text.Json.JsonSerializer.Serialize(Path.Combine(Repo.Root, "scenes", "foundry", "foundry.rig.jsonc"))}}],
              "maps": [{ "name": "hand", "kind": "byHand", "fixtures": ["wall"], "file": "{{Path.GetFileName(file)}}" }]
            }
            """);
        var back = PixelsQuestion.Open(RigFiles.Open(rig), "hand", null).Rows();
        Assert.Equal(rows.Count, back.Count);
        foreach (var (a, b) in rows.Zip(back))
        {
            Assert.Equal((a.Fixture, a.Geometry, a.Pixel, a.Address), (b.Fixture, b.Geometry, b.Pixel, b.Address));
            Assert.Equal((a.U, a.V), (b.U, b.V), (x, y) => MathF.Abs(x.U - y.U) < 2e-6f && MathF.Abs(x.V - y.V) < 2e-6f);
        }
    }

    [Theory]
    [InlineData("fixture,pixel,u\na,1,2\n", "line 1: the first line names no column \"v\"")]
    [InlineData("fixture,pixel,u,v\na,0,.5,.5\n", "line 2: needs a fixture and a pixel's number from 1")]
    [InlineData("fixture,pixel,u,v\n\na,1,.5,high\n", "line 3: \"v\" should be a number, not \"high\"")]
    [InlineData("", "line 1: the file names no columns")]
    public void A_table_that_can_not_be_used_names_its_line(string text, string why)
    {
        Assert.False(PixelMapCsv.TryRead(text, 10, out _, out var said));
        Assert.Equal(why, said);
    }

    [Fact]
    public void The_numbered_picture_has_white_at_the_first_pixel_of_the_wire_and_grey_at_the_last()
    {
        var rig = RigFiles.Open(Path.Combine(Repo.Root, "scenes", "foundry", "panels.rig.jsonc"));
        var question = PixelsQuestion.Open(rig, "wall", null);
        using var picture = PixelPictures.Numbered(rig, question, 900, 340);
        var rows = question.Rows();
        SKColor At(PixelMapRow r) => picture.GetPixel((int)(r.U * 900), (int)(r.V * 340));
        Assert.Equal(SKColors.White, At(rows[0]));
        Assert.Equal(SKColors.White, At(rows[170]));
        Assert.Equal(new SKColor(110, 110, 110), At(rows[169]));
        Assert.NotEqual(At(rows[40]), At(rows[210]));
    }

    private static List<string> Heard(int packets, Action<int> send)
    {
        Tools.Need("node", "nodejs");
        Tools.Need("npm", "npm");
        using var install = Tools.Start("bash", Repo.File("tests", "independent", "install.sh"));
        var folder = install.StandardOutput.ReadToEnd().Trim();
        install.WaitForExit();
        Assert.SkipWhen(install.ExitCode != 0, "the independent receiver is missing (tests/independent/install.sh)");
        var port = FreePort.Udp();
        using var node = Tools.Start("node", Path.Combine(folder, "levels.js"), $"{port}", $"{packets}");
        Assert.Equal("ready", node.StandardOutput.ReadLine());
        send(port);
        return [.. Enumerable.Range(0, packets).Select(_ => node.StandardOutput.ReadLine()!)];
    }

    /// <summary>A capture of 2 s at 20 Hz whose tilt goes as asked, degrees by packet.</summary>
    private string Tilted(Func<int, int> degrees) => LevelsCapture.Write(Path.Combine(_folder.Path, "tilt.pcapng"), 2, 20, i =>
    {
        var levels = new byte[512];
        var raw = (int)Math.Round((degrees(i) + 190) / 380.0 * 65535);
        (levels[0], levels[1]) = ((byte)(raw >> 8), (byte)raw);
        return levels;
    });

    /// <param name="moving">A sequence of two even pictures, a second each, instead of the ramp.</param>
    private RigScene Rig(bool moving = false)
    {
        // Brighter downwards in light, by the nearest code values of sRGB (IEC 61966-2-1).
        using (var ramp = new SKBitmap(1, 256))
        {
            for (var i = 0; i < 256; i++)
            {
                var l = i / 255.0;
                var code = (byte)Math.Round(255 * (l <= .0031308 ? 12.92 * l : (1.055 * Math.Pow(l, 1 / 2.4)) - .055));
                ramp.SetPixel(0, i, new SKColor(code, code, code));
            }

            using var png = File.Create(Path.Combine(_folder.Path, "ramp.png"));
            ramp.Encode(png, SKEncodedImageFormat.Png, 100);
        }

        for (var i = 1; moving && i <= 2; i++)
        {
            using var even = new SKBitmap(4, 4);
            even.Erase(i == 1 ? new SKColor(64, 64, 64) : SKColors.White);
            using var png = File.Create(Path.Combine(_folder.Path, $"even{i}.png"));
            even.Encode(png, SKEncodedImageFormat.Png, 100);
        }

        var file = moving ? "\"even%d.png\", \"rate\": 1" : "\"ramp.png\"";
        _folder.File("panel.fixture.jsonc", """
            {
              "name": "Panel",
              "geometry": [{
                "name": "yoke",
                "parts": [{
                  "name": "panel", "axis": { "motion": "tilt", "speed": 60 },
                  "parts": [{ "name": "face", "at": [0, 0, -0.03], "pixels": { "columns": 5, "rows": 5, "size": [0.8, 0.8], "luminance": 1000 } }]
                }]
              }],
              "modes": [{
                "name": "Panel",
                "channels": [{ "attribute": "Tilt", "geometry": "panel", "bits": "16", "default": 128, "physical": [-190, 190] }],
                "pixels": [{ "geometry": "face" }]
              }]
            }
            """);
        return RigFiles.Open(_folder.File("a.rig.jsonc", $$"""
            {
              "hangs": [{ "name": "panel", "profile": "panel", "at": [0, 0, 6], "patch": "1.1" }],
              "maps": [{ "name": "flat", "kind": "flat", "corner": [-2, -2, 6], "across": [4, 0, 0], "down": [0, 4, 0] }],
              "content": [{ "name": "ramp", "file": {{file}}, "map": "flat", "luminance": 1000 }]
            }
            """));
    }
}
