using System.Net.WebSockets;
using System.Runtime.InteropServices;
using StageView.Rig.Scene;
using StageView.Wire.Capture;

namespace StageView.App.Tests.Live;

/// <summary>
/// The real commands on a context that is lost as the standards tell it: OpenGL 4.5 core profile, section 2.3.2 "Graphics Reset
/// Recovery", and EGL 1.5, "Power Management". What draws behind it is the machine's own library.
/// </summary>
[Collection(LiveMachine.Name)]
public sealed class ContextLossTests
{
    [Fact]
    public async Task A_lost_context_shows_no_black_picture_and_another_draws_on_while_everything_is_heard()
    {
        using var graphics = new LosingGraphics();
        using var copy = new RigCopy("foundry");
        var (sacn, artNet) = (FreePort.Udp(), FreePort.Udp());
        using var desk = new Desk(sacn);
        RigLoader.TryLoad(copy.File, out var rig, out _);
        var fronts = rig!.Fixtures.Where(f => f.Groups.Contains("fronts")).Select(f => f.Patch[0].Start).ToList();
        void Fronts(int level) => fronts.ForEach(f => desk.Set(f.Universe.Value, (f.Address, level), (f.Address + 1, level)));
        Fronts(255);
        await using var live = await LiveProcess.Start(copy.File, graphics.Environment, "--no-window", "--sacn-port", $"{sacn}", "--artnet-port", $"{artNet}");
        using var socket = await Viewer(live);
        var lit = 0.0;
        await Pictures(socket, mean => (Math.Abs(mean - lit), lit = mean) is var (change, _) && change < .5 && mean > 20, 5);
        Assert.True((await PageSocket.Ask(socket, 1, new { @do = "record", id = 1, on = true })).GetProperty("ok").GetBoolean());

        for (var nth = 1; nth <= 2; nth++)
        {
            graphics.Lose(power: false);
            await live.SaysWithin("was lost: its driver reset it", times: nth);
            await live.SaysWithin("drawing again", times: nth);
            // Pictures that move are drawn more coarsely than those at rest, and their mean is some percent off: the two states lie further apart.
            Fronts(0);
            var darkest = await Pictures(socket, mean => mean > lit * .15 && mean < lit * .9, 3);
            Fronts(255);
            darkest = Math.Min(darkest, await Pictures(socket, mean => mean > lit * .93 && mean < lit * 1.07, 3));
            Assert.InRange(darkest, lit * .15, lit);
        }

        Assert.True((await PageSocket.Ask(socket, 2, new { @do = "record", id = 2, on = false })).GetProperty("ok").GetBoolean());
        var file = Assert.Single(Directory.GetFiles(Path.Combine(copy.Folder, "recordings")));
        var universe = fronts[0].Universe.Value;

        // ANSI E1.31, table 4-1: universe at octets 113 and 114, sequence number at 111.
        var numbers = CaptureReader.Read(file).Select(d => d.Payload).Where(p => p.Length > 125 && ((p.Span[113] << 8) | p.Span[114]) == universe)
            .Select(p => p.Span[111]).ToList();
        Assert.True(numbers.Count > 50);
        Assert.All(numbers.Zip(numbers.Skip(1)), n => Assert.Equal((byte)(n.First + 1), n.Second));
        Assert.False(live.HasExited);
    }

    [Fact]
    public async Task A_context_lost_without_power_and_at_rest_is_missed_before_the_next_picture_is_wanted()
    {
        using var graphics = new LosingGraphics();
        using var copy = new RigCopy("one-mirror");
        await using var live = await LiveProcess.Start(copy.File, graphics.Environment, "--no-window", "--sacn-port", $"{FreePort.Udp()}", "--artnet-port",
            $"{FreePort.Udp()}");
        using var socket = await Viewer(live);
        var (pictures, states) = (0, 0);

        // At rest: ten states in a row, two and a half seconds, without a picture.
        await PageSocket.HearUntil(socket, (t, b) =>
        {
            (pictures, states) = t == WebSocketMessageType.Binary ? (pictures + 1, 0)
                : (pictures, states + (PageSocket.IsState(b) ? 1 : 0));
            return pictures > 0 && states >= 10;
        });
        graphics.Lose(power: true);
        await live.SaysWithin("was lost: the machine or its graphics processor was without power");
        await live.SaysWithin("drawing again");
    }

    [Fact]
    public async Task A_windows_context_that_is_lost_at_rest_is_missed_and_another_window_stands_there()
    {
        using var display = VirtualDisplay.Start();
        Assert.SkipUnless(RuntimeInformation.ProcessArchitecture == Architecture.X64, "the library that loses a window's context is written for x86-64");
        using var graphics = new LosingGraphics(window: true);
        using var copy = new RigCopy("one-mirror");
        await using var live = await WindowTests.OpenWindow(display, copy, graphics.Environment);
        await WindowTests.Becomes(live, display, Browser.Shot("window-to-be-lost"), shot => WindowTests.Mean(shot, 640, 500) > 10);
        XWindows.Resize(display.Name, 900, 600);
        await WindowTests.Becomes(live, display, Browser.Shot("window-to-be-lost"),
            shot => WindowTests.Mean(shot, 450, 420) > 10 && WindowTests.Mean(shot, 1100, 500) < 1);
        (await WindowTests.AtRest(display, Browser.Shot("window-to-be-lost"))).Dispose();
        graphics.Lose(power: false);
        await live.SaysWithin("was lost: its driver reset it");
        await live.SaysWithin("drawing again");
        await WindowTests.Becomes(live, display, Browser.Shot("window-after-loss"),
            shot => XWindows.Largest(display.Name) is { Width: 900, Height: 600 } && WindowTests.Mean(shot, 450, 420) > 10);
    }

    [Fact]
    public void A_picture_that_was_lost_is_not_written_and_the_words_say_so()
    {
        using var graphics = new LosingGraphics();
        using var folder = new TempFolder();
        string[] words = ["render", Repo.File("scenes", "foundry", "foundry.rig.jsonc"), "--capture", Repo.File("scenes", "foundry", "foundry.pcapng"), "--at",
            "1", "--size", "160x90", "--out", folder.File("picture.png")];
        var fine = CommandRun.With(graphics.Environment, words);
        Assert.Equal(0, fine.ExitCode);
        File.Delete(folder.File("picture.png"));

        var lost = CommandRun.With(new Dictionary<string, string>(graphics.Environment) { ["LOSING_READ"] = "1" }, words);
        Assert.Equal(3, lost.ExitCode);
        lost.AssertPlainWords();
        Assert.Matches("^stageview: the context of \".+\" was lost: its driver reset it\n$", lost.Errors);
        Assert.Empty(Directory.GetFiles(folder.Path));
    }

    private static async Task<ClientWebSocket> Viewer(LiveProcess live)
    {
        var socket = new ClientWebSocket();
        await socket.ConnectAsync(new UriBuilder(new Uri(live.Address, "/live")) { Scheme = "ws" }.Uri, TestContext.Current.CancellationToken);
        await PageSocket.Say(socket, PageSocket.View(320, 180));
        return socket;
    }

    /// <summary>Reads until so many pictures in a row have a mean green that fits; the least mean of all.</summary>
    private static async Task<double> Pictures(ClientWebSocket socket, Func<double, bool> fits, int many)
    {
        var (row, darkest) = (0, double.PositiveInfinity);
        await PageSocket.HearUntil(socket, (t, b) =>
        {
            if (t == WebSocketMessageType.Binary)
            {
                var mean = PageSocket.Mean(b);
                darkest = Math.Min(darkest, mean);
                row = fits(mean) ? row + 1 : 0;
            }

            return row == many;
        });
        return darkest;
    }
}
