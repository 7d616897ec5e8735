using System.Diagnostics;
using System.Security.Cryptography;

namespace StageView.App.Tests.Verbs;

/// <summary>The whole path: packets that another program sends become a picture.</summary>
[Collection("network ports")]
public sealed class RenderVerbTests
{
    private static string OneBeam => Repo.File("scenes", "one-beam", "one-beam.rig.jsonc");

    private static string Foundry => Repo.File("scenes", "foundry", "foundry.rig.jsonc");

    private static string FoundryCapture => Repo.File("scenes", "foundry", "foundry.pcapng");

    [Fact]
    public void The_same_frame_from_two_processes_is_the_same_to_the_byte()
    {
        using var folder = new TempFolder();
        var a = folder.File("a.png");
        var b = folder.File("b.png");
        foreach (var file in new[] { a, b })
        {
            var run = CommandRun.Of("render", Foundry, "--capture", FoundryCapture, "--at", "12.6", "--size", "320x180", "--out", file);
            SkipWithoutOpenGl(run);
            Assert.Equal(0, run.ExitCode);
        }

        Assert.Equal(SHA256.HashData(File.ReadAllBytes(a)), SHA256.HashData(File.ReadAllBytes(b)));
        Assert.True(PngFile.Of(a).Mean > 2, "the demo show's frame is nearly black");
    }

    // The bound that docs/design/repeatable-frames.md states is none at all.
    [Fact]
    public void Threads_and_vector_width_of_the_rasteriser_change_no_byte()
    {
        using var folder = new TempFolder();
        byte[] Drawn(string file, params (string Name, string Value)[] environment)
        {
            var run = CommandRun.With(environment.ToDictionary(e => e.Name, e => e.Value), "render", Foundry, "--capture", FoundryCapture, "--at", "30.2",
                "--size", "240x136", "--out", folder.File(file));
            SkipWithoutOpenGl(run);
            Assert.True(run.ExitCode == 0, run.Errors);
            return File.ReadAllBytes(folder.File(file));
        }

        var usual = Drawn("usual.png");
        Assert.Equal(usual, Drawn("alone.png", ("LP_NUM_THREADS", "0")));
        Assert.Equal(usual, Drawn("seven.png", ("LP_NUM_THREADS", "7")));
        // Its own cache of shaders: the driver's does not tell widths apart.
        Assert.Equal(usual, Drawn("narrow.png", ("LP_NATIVE_VECTOR_WIDTH", "128"), ("MESA_SHADER_CACHE_DIR", folder.File("cache"))));
    }

    [Fact]
    public void A_frame_asked_for_alone_equals_the_same_frame_in_a_run()
    {
        using var folder = new TempFolder();
        var alone = folder.File("alone.png");
        var run = CommandRun.Of("render", Foundry, "--capture", FoundryCapture, "--at", "8", "--size", "160x90", "--out", alone);
        SkipWithoutOpenGl(run);
        Assert.Equal(0, run.ExitCode);
        var both = CommandRun.Of("render", Foundry, "--capture", FoundryCapture, "--at", "3.5", "--at", "8", "--size", "160x90", "--out", folder.File("run"));
        Assert.Equal(0, both.ExitCode);
        Assert.Equal(File.ReadAllBytes(alone), File.ReadAllBytes(Path.Combine(folder.File("run"), "8-house.png")));
    }

    [Theory]
    [InlineData("multicast")]
    [InlineData("unicast")]
    public async Task An_independent_sender_on_loopback_lights_the_frame(string how)
    {
        var module = NodeTools.Module("sacn", "dist", "index.js");
        using var folder = new TempFolder();
        var rig = folder.File("far.rig.jsonc", OnUniverse(7001, folder));
        var dark = await Listened(rig, folder.File("dark.png"), module, how, percent: 0);
        var bright = await Listened(rig, folder.File("bright.png"), module, how, percent: 100);
        var half = await Listened(rig, folder.File("half.png"), module, how, percent: 50);
        Assert.True(dark.Mean < bright.Mean / 4, $"dark {dark.Mean}, bright {bright.Mean}");
        Assert.True(half.Mean < bright.Mean * 0.97 && half.Mean > dark.Mean, $"half {half.Mean} between {dark.Mean} and {bright.Mean}");
    }

    [Fact]
    public async Task A_capture_made_by_tcpdump_draws_what_was_sent()
    {
        var module = NodeTools.Module("sacn", "dist", "index.js");
        using var folder = new TempFolder();
        var file = folder.File("made.pcap");
        using var tcpdump = Tools.Start("tcpdump", "-i", "lo", "-w", file, "-U", "--immediate-mode", "udp", "port", "5568");
        string? said;
        while ((said = await tcpdump.StandardError.ReadLineAsync(TestContext.Current.CancellationToken)) is not null
            && !said.Contains("listening on", StringComparison.Ordinal))
        {
        }

        Assert.SkipWhen(said is null, "tcpdump may not capture on this machine's loopback");
        using (var sender = await Sender(module, 7002, "unicast", 100))
        {
            var from = TimeProvider.System.GetTimestamp();
            while (!(File.Exists(file) && Wire.Capture.CaptureReader.Read(file).Skip(10).Any()))
            {
                Assert.True(TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromMinutes(1), "tcpdump wrote nothing of what is sent");
                await Task.Delay(100, TestContext.Current.CancellationToken);
            }

            sender.Kill();
        }

        // SIGINT lets it write what it holds.
        using (var stop = Tools.Start("kill", "-INT", $"{tcpdump.Id}"))
        {
            await stop.WaitForExitAsync(TestContext.Current.CancellationToken);
        }

        await tcpdump.WaitForExitAsync(TestContext.Current.CancellationToken);
        var rig = folder.File("far.rig.jsonc", OnUniverse(7002, folder));
        var lit = folder.File("lit.png");
        var run = CommandRun.Of("render", rig, "--capture", file, "--size", "160x90", "--out", lit);
        SkipWithoutOpenGl(run);
        Assert.True(run.ExitCode == 0, run.Errors);
        var unlit = folder.File("unlit.png");
        Assert.Equal(0, CommandRun.Of("render", rig, "--size", "160x90", "--out", unlit).ExitCode);
        Assert.True(PngFile.Of(lit).Mean > 4 * PngFile.Of(unlit).Mean + 1);
    }

    [Fact]
    public void A_capture_cut_in_the_middle_says_so_and_draws_the_rest()
    {
        using var folder = new TempFolder();
        var whole = File.ReadAllBytes(FoundryCapture);
        var cut = folder.File("cut.pcapng");
        File.WriteAllBytes(cut, whole[..((whole.Length / 2) + 13)]);
        var run = CommandRun.Of("render", Foundry, "--capture", cut, "--size", "160x90", "--out", folder.File("cut.png"));
        SkipWithoutOpenGl(run);
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("cut.pcapng", run.Errors, StringComparison.Ordinal);
        Assert.True(File.Exists(folder.File("cut.png")));
        run.AssertPlainWords();
    }

    [Theory]
    [InlineData("a text file, not a capture")]
    [InlineData("")]
    public void A_file_that_is_no_capture_is_one_clear_line(string text)
    {
        using var folder = new TempFolder();
        var run = CommandRun.Of("render", OneBeam, "--capture", folder.File("not.pcapng", text), "--out", folder.File("x.png"));
        Assert.Equal(2, run.ExitCode);
        Assert.Contains("not.pcapng", run.Errors, StringComparison.Ordinal);
        Assert.Single(run.Errors.Trim().Split('\n'));
        run.AssertPlainWords();
    }

    [Theory]
    [InlineData("--at", "soon", "soon")]
    [InlineData("--camera", "nowhere", "nowhere")]
    [InlineData("--size", "huge", "huge")]
    [InlineData("--at", "cue:none", "cue:none")]
    public void A_wrong_option_is_one_clear_line(string option, string value, string named)
    {
        using var folder = new TempFolder();
        var run = CommandRun.Of("render", OneBeam, option, value, "--out", folder.File("x.png"));
        Assert.Equal(2, run.ExitCode);
        Assert.Contains(named, run.Errors, StringComparison.Ordinal);
        run.AssertPlainWords();
    }

    internal static void SkipWithoutOpenGl(CommandRun run) =>
        Assert.SkipWhen(run.ExitCode == 3, "no OpenGL on this machine: " + run.Errors.Trim());

    private static string OnUniverse(int universe, TempFolder folder) =>
        File.ReadAllText(OneBeam)
            .Replace("\"1.1\"", $"\"{universe}.1\"", StringComparison.Ordinal)
            .Replace("../../assets/fixtures", Path.GetRelativePath(folder.Path, Repo.File("assets", "fixtures")).Replace('\\', '/'), StringComparison.Ordinal);

    private static async Task<PngFile> Listened(string rig, string png, string module, string how, int percent)
    {
        // Sending already: on a busy machine it may start later than the listening ends.
        using var sender = await Sender(module, 7001, how, percent);
        using var render = CommandRun.Start("render", rig, "--listen", "4", "--size", "160x90", "--out", png);
        await render.WaitForExitAsync(TestContext.Current.CancellationToken);
        sender.Kill();
        var errors = await render.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        SkipWithoutOpenGl(new CommandRun(render.ExitCode, "", errors));
        Assert.True(render.ExitCode == 0, errors);
        Assert.DoesNotContain("nothing was heard", errors, StringComparison.Ordinal);
        return PngFile.Of(png);
    }

    /// <summary>A sender that has begun to send.</summary>
    private static async Task<Process> Sender(string module, int universe, string how, int percent)
    {
        var to = how == "unicast" ? "useUnicastDestination: '127.0.0.1'" : "iface: '127.0.0.1'";
        var payload = string.Join(", ", Enumerable.Range(1, 24).Select(a => $"{a}: {percent}"));
        var script = $$"""
            const { Sender } = require({{System.Text.Json.JsonSerializer.Serialize(module)}});
            const s = new Sender({ universe: {{universe}}, reuseAddr: true, {{to}} });
            const send = () => s.send({ payload: { {{payload}} }, sourceName: 'independent', priority: 100 }).catch(() => {});
            send().then(() => console.log("sending"));
            setInterval(send, 50);
            """;
        var sender = Tools.Start("node", "-e", script);
        Assert.Equal("sending", await sender.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken));
        return sender;
    }
}
