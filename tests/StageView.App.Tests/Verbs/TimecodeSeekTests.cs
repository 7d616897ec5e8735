using System.Net;
using System.Text.Json;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Universes;

namespace StageView.App.Tests.Verbs;

/// <summary>A frame of a capture that is named by its timecode, read from the start and by the index.</summary>
public sealed class TimecodeSeekTests
{
    private const int Frames = 25 * 90;
    private const int Flash = (25 * 60) + 12;

    private static string OneBeam => Repo.File("scenes", "one-beam", "one-beam.rig.jsonc");

    // 90 s from 01:00:00:00 at 25 frames a second; the dimmer is dark but for the one frame 01:01:00:12, and the next address counts frames.
    private static string Written(TempFolder folder)
    {
        var path = folder.File("night.pcapng");
        using var writer = new PcapngWriter(File.Create(path), new DateTimeOffset(2026, 1, 2, 3, 4, 5, TimeSpan.Zero));
        var desk = SourceAddress.From(new IPEndPoint(IPAddress.Parse("10.0.0.1"), 6454));
        var group = SourceAddress.From(new IPEndPoint(E131Numbers.Group(1), E131Numbers.Port));
        var node = SourceAddress.From(new IPEndPoint(IPAddress.Parse("10.0.0.9"), 6454));
        var levels = new byte[512];
        var packet = new byte[E131Numbers.LongestDataPacket];
        for (var f = 0; f < Frames; f++)
        {
            var at = TimeSpan.FromMilliseconds(40 * f);
            levels[0] = f == Flash ? (byte)255 : (byte)0;
            levels[99] = (byte)f;
            var length = E131Writer.Write(packet,
                new E131DataPacket
                {
                    Cid = new Cid(1, 2), SourceName = "desk"u8, Priority = 100, Sequence = (byte)f, Universe = new UniverseNumber(1), Levels = levels,
                });
            writer.Write(at, desk with { Port = E131Numbers.Port }, group, packet.AsSpan(0, length));
            length = ArtTimeCode.Write(packet, Timecode.FromFrameNumber((25 * 3600) + f, TimecodeRate.Ebu25));
            writer.Write(at, desk, node, packet.AsSpan(0, length));
        }

        return path;
    }

    private static (double At, int Dimmer) Explained(string capture, params string[] more)
    {
        var run = CommandRun.Of(["explain", OneBeam, "1.1", "--capture", capture, "--json", .. more]);
        Assert.True(run.ExitCode == 0, run.Errors);
        using var answer = JsonDocument.Parse(run.Output);
        return (answer.RootElement.GetProperty("at").GetDouble(),
            answer.RootElement.GetProperty("sources")[0].GetProperty("senders")[0].GetProperty("level").GetInt32());
    }

    [Theory]
    [InlineData(true)]
    [InlineData(false)]
    public void Levels_at_a_label_are_those_of_its_frame(bool seek)
    {
        using var folder = new TempFolder();
        var capture = Written(folder);
        string[] how = seek ? ["--seek"] : [];
        Assert.Equal((60.5, 255), Explained(capture, ["--at", "tc:01:01:00:12", .. how]));
        Assert.Equal((60.46, 0), Explained(capture, ["--at", "tc:01:01:00:11", .. how]));
        Assert.Equal((60.54, 0), Explained(capture, ["--at", "tc:01:01:00:13", .. how]));
        Assert.Equal(seek, File.Exists(capture + ".index"));
        var beyond = CommandRun.Of(["explain", OneBeam, "1.1", "--capture", capture, "--at", "tc:02:00:00:00", .. how]);
        Assert.Equal(2, beyond.ExitCode);
        Assert.Contains("01:00:00:00 to 01:01:29:24", beyond.Errors, StringComparison.Ordinal);
    }

    [Fact]
    public void A_picture_at_a_label_shows_its_frame_and_is_the_same_by_the_index()
    {
        using var folder = new TempFolder();
        var capture = Written(folder);
        byte[] Picture(string name, params string[] how)
        {
            var file = folder.File(name + ".png");
            var run = CommandRun.Of(["render", OneBeam, "--capture", capture, "--size", "96x54", "--out", file, .. how]);
            RenderVerbTests.SkipWithoutOpenGl(run);
            Assert.True(run.ExitCode == 0, run.Errors);
            return File.ReadAllBytes(file);
        }

        var lit = Picture("lit", "--at", "tc:01:01:00:12", "--seek");
        var bright = PngFile.Of(folder.File("lit.png")).Mean;
        Assert.True(bright > 3, $"{bright}");
        Assert.Equal(lit, Picture("run", "--at", "tc:01:01:00:12"));
        foreach (var other in new[] { "11", "13" })
        {
            Picture(other, "--at", "tc:01:01:00:" + other, "--seek");
            Assert.Equal(0, PngFile.Of(folder.File(other + ".png")).Mean);
        }
    }

    [Fact]
    public void Seeking_needs_a_capture()
    {
        var run = CommandRun.Of("explain", OneBeam, "1.1", "--seek");
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("--capture", run.Errors, StringComparison.Ordinal);
    }
}
