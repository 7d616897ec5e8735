using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using System.Text.Json;
using StageView.Wire.ArtNet;
using StageView.Wire.Capture;
using StageView.Wire.Clock;
using StageView.Wire.Datagrams;
using StageView.Wire.E131;
using StageView.Wire.Levels;
using StageView.Wire.Sockets;
using StageView.Wire.Universes;

namespace StageView.App.Tests.Verbs;

/// <summary><c>watch</c>, <c>record</c> and <c>replay</c> as a user runs them, on loopback and the standard ports.</summary>
[Collection("network ports")]
public sealed class NetworkVerbsTests
{
    private static readonly Cid s_desk = new(0x7E57, 0x1234);

    // A loopback address of our own: unicast to 127.0.0.1 goes to whichever program listened last.
    private const string Host = "127.0.77.7";

    private static readonly IPAddress s_host = IPAddress.Parse(Host);

    private static string OneBeam => Repo.File("scenes", "one-beam", "one-beam.rig.jsonc");

    private static Socket Sender()
    {
        var socket = new Socket(AddressFamily.InterNetwork, SocketType.Dgram, ProtocolType.Udp);
        socket.Bind(new IPEndPoint(IPAddress.Loopback, 0));
        return socket;
    }

    private static void Level(Socket socket, int frame, string name = "desk", Cid? cid = null)
    {
        var packet = new byte[E131Numbers.LongestDataPacket];
        var levels = new byte[512];
        levels.AsSpan().Fill((byte)frame);
        var length = E131Writer.Write(packet,
            new E131DataPacket
            {
                Cid = cid ?? s_desk,
                SourceName = System.Text.Encoding.UTF8.GetBytes(name),
                Priority = 100,
                Sequence = (byte)frame,
                Universe = new UniverseNumber(1),
                Levels = levels,
            });
        socket.SendTo(packet.AsSpan(0, length), new IPEndPoint(s_host, E131Numbers.Port));
    }

    private static async Task Feed(Func<bool> until, string name = "desk")
    {
        using var socket = Sender();
        var label = new byte[ArtTimeCode.Length];
        var start = Stopwatch.GetTimestamp();
        for (var f = 0; !until(); f++)
        {
            Level(socket, f, name);
            // By the clock, so that a busy machine makes no jumps.
            ArtTimeCode.Write(label, Timecode.FromFrameNumber(90_000 + (int)(Stopwatch.GetElapsedTime(start).TotalSeconds * 25), TimecodeRate.Ebu25));
            socket.SendTo(label, new IPEndPoint(s_host, ArtNetNumbers.Port));
            await Task.Delay(40, TestContext.Current.CancellationToken);
        }
    }

    [Fact]
    public void Watch_says_that_a_patched_universe_is_silent_and_answers_1()
    {
        var run = CommandRun.Of("watch", OneBeam, "--for", "4s", "--json");
        Assert.Equal(1, run.ExitCode);
        var lines = run.Output.Split('\n', StringSplitOptions.RemoveEmptyEntries);
        Assert.True(lines.Length > 3);
        using var last = JsonDocument.Parse(lines[^1]);
        Assert.Equal("summary", last.RootElement.GetProperty("type").GetString());
        var finding = last.RootElement.GetProperty("findings")[0];
        Assert.Equal(("patchedButSilent", 1, true),
            (finding.GetProperty("kind").GetString(), finding.GetProperty("universe").GetInt32(), finding.GetProperty("stands").GetBoolean()));
    }

    [Fact]
    public void Watch_that_heard_nothing_for_a_moment_finds_nothing_right()
    {
        var run = CommandRun.Of("watch", OneBeam, "--for", "1s");
        Assert.Equal(2, run.ExitCode);
        Assert.Matches(@"nothing was heard in \d+\.\d s, so nothing can be said", run.Output);
        Assert.DoesNotContain("nothing wrong", run.Output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Watch_names_the_source_and_the_timecode_and_prints_no_control_characters()
    {
        using var watch = CommandRun.Start("watch", OneBeam, "--address", Host, "--for", "6s");
        var output = watch.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        await Feed(() => watch.HasExited, "de\u001b[2Jsk");
        var text = await output;
        Assert.True(watch.ExitCode == 0, text);
        Assert.Contains("nothing wrong was found", text, StringComparison.Ordinal);
        Assert.Contains("'de\uFFFD[2Jsk' at 127.0.0.1", text, StringComparison.Ordinal);
        Assert.DoesNotContain('\u001b', text);
        // Sent from before the command has started, which takes a busy machine long.
        Assert.Matches(@"timecode 01:00:\d\d:\d\d \(25 frames/s, runs\) from 127\.0\.0\.1", text);
        Assert.Contains("starts at 01:00:", text, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_recording_ends_at_its_time_or_size_and_says_what_it_holds()
    {
        using var folder = new TempFolder();
        foreach (var (bound, ended) in new[] { (new[] { "--for", "3s" }, "the time asked for is over"),
            (["--for", "60s", "--most-megabytes", "0.01"], "the size asked for is reached") })
        {
            var file = folder.File($"{bound.Length}.pcapng");
            using var record = CommandRun.Start(["record", OneBeam, "--address", Host, "--out", file, "--json", .. bound]);
            var errors = record.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
            var output = record.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
            await Feed(() => record.HasExited);
            Assert.True(record.ExitCode == 0, await errors);
            using var answer = JsonDocument.Parse(await output);
            Assert.Equal(new FileInfo(file).Length, answer.RootElement.GetProperty("bytes").GetInt64());
            Assert.Equal(CaptureReader.Read(file).Count(), answer.RootElement.GetProperty("packets").GetInt32());
            Assert.Equal(ended, answer.RootElement.GetProperty("ended").GetString());
            Assert.InRange(Ours(file), 5, 200);
        }
    }

    [Fact]
    public async Task A_recording_that_is_killed_has_lost_nothing_and_is_replayed()
    {
        using var folder = new TempFolder();
        var file = folder.File("night.pcapng");
        using (var record = CommandRun.Start("record", OneBeam, "--address", Host, "--out", file))
        {
            for (var n = 0; n < 1200 && !(File.Exists(file) && new FileInfo(file).Length > 0); n++)
            {
                await Task.Delay(50, TestContext.Current.CancellationToken);
            }

            Assert.False(record.HasExited);
            using var socket = Sender();
            var other = new Cid(0x7E57, 0x9999);
            // The file is there before the listening is: what counts begins when a first packet has come through.
            for (var n = 0; n < 1200 && !CaptureReader.Read(file).Any(); n++)
            {
                Level(socket, 0, cid: other);
                await Task.Delay(50, TestContext.Current.CancellationToken);
            }

            for (var f = 0; f < 100; f++)
            {
                Level(socket, f);
                await Task.Delay(5, TestContext.Current.CancellationToken);
            }

            Assert.True(SpinWait.SpinUntil(() => Ours(file) == 100, TimeSpan.FromSeconds(60)), $"{Ours(file)} of 100");
            // SIGKILL: it gets no chance to close the file.
            record.Kill(entireProcessTree: true);
            await record.WaitForExitAsync(TestContext.Current.CancellationToken);
        }

        Assert.Equal(100, Ours(file));
        if (File.Exists("/usr/bin/tshark"))
        {
            var numbers = Tools.Run("tshark", "-r", file, "-Y", "udp.dstport == 5568 && !_ws.malformed", "-T", "fields", "-e", "frame.number");
            Assert.InRange(numbers.Split('\n', StringSplitOptions.RemoveEmptyEntries).Length, 100, 100_000);
        }

        using var live = LiveSource.Listen(WireSettings.Default, [new UniverseNumber(1)], [Host], null, TimeProvider.System,
            TestContext.Current.CancellationToken);
        var run = CommandRun.Of("replay", file, "--speed", "4", "--to", Host, "--json");
        Assert.Equal(0, run.ExitCode);
        using var answer = JsonDocument.Parse(run.Output);
        Assert.InRange(answer.RootElement.GetProperty("sent").GetInt32(), 100, 100_000);
        // One more: the first of the three that end the stream. The others find it ended.
        Assert.True(SpinWait.SpinUntil(
            () => live.Read(m => m.Health()).Universes.SelectMany(u => u.Sources).Any(s => s.Cid == s_desk.ToString() && s.Packets == 101 && s.Missing == 0),
            TimeSpan.FromSeconds(60)));
    }

    private static int Ours(string file) =>
        CaptureReader.Read(file).Count(d => E131Parser.TryParse(d.Payload.Span, out E131DataPacket packet, out _) && packet.Cid == s_desk);
}
