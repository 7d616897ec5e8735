using System.Text.RegularExpressions;
using Microsoft.Playwright;
using StageView.Live.Night;
using StageView.Live.Server;
using StageView.Live.Terms;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>What the page says when its server, its picture or itself was away.</summary>
public sealed partial class PageTests
{
    [Fact]
    public async Task What_the_server_goes_on_with_is_shown_after_a_reload()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await page.Locator("#tab-looks").ClickAsync();
        await page.Locator("#looks button").Filter(new() { HasText = "blue" }).ClickAsync();
        await Expect(page.Locator("#source")).ToHaveTextAsync("◆ look: blue");
        await page.Locator("#tab-night").ClickAsync();
        await page.Locator("#measure").ClickAsync();
        await Expect(page.Locator("#measure")).ToHaveAttributeAsync("aria-pressed", "true");
        await page.ReloadAsync();
        await Expect(page.Locator("#looks [aria-current]")).ToHaveTextAsync("blue");
        await Expect(page.Locator("#measure")).ToHaveAttributeAsync("aria-pressed", "true");
        await page.Locator("#tab-night").ClickAsync();
        await page.Locator("#measure").ClickAsync();
        await Expect(page.Locator("#measure")).ToHaveAttributeAsync("aria-pressed", "false");
        Assert.False(served.Show.Measuring);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_reload_finds_the_view_the_panel_and_the_fixture_again()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await Pick(page, "Spot 7");
        await page.Locator("#picture").FocusAsync();
        await page.Keyboard.PressAsync("ArrowRight");
        await page.Keyboard.PressAsync(">");
        await page.Keyboard.PressAsync("w");
        await page.Locator("#tab-aim").ClickAsync();
        var (eye, exposure) = (await Eye(page), await page.Locator("#exposure-is").TextContentAsync());
        await page.ReloadAsync();
        await Expect(page.Locator("#aim-who")).ToHaveTextAsync("for Spot 7");
        await Expect(page.Locator("#panel-aim")).ToBeVisibleAsync();
        await Expect(page.Locator("#cameras")).ToHaveValueAsync("hand");
        await Expect(page.Locator("#exposure-is")).ToHaveTextAsync(exposure!);
        await Expect(page.Locator("#work")).ToHaveAttributeAsync("aria-pressed", "false");
        Assert.Equal(eye, await Eye(page));
        Assert.Equal(1, await page.Locator("#marks .ring").CountAsync());

        // Another page begins with the rig's first camera.
        var other = await browser.Open(served.Server.Address);
        await Expect(other.Locator("#cameras")).ToHaveValueAsync("rig:house");
        await other.Context.CloseAsync();
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task What_is_searched_for_is_found_once_the_rig_file_has_it()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await page.Locator("#find").FillAsync("late head");
        await Expect(page.Locator("#found")).ToContainTextAsync("Nothing in the patch fits");
        served.Show.Save([.. served.Show.Fixtures, "late head"], served.Show.Cameras);
        await Expect(page.Locator("#found button")).ToHaveCountAsync(1);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task What_is_picked_and_the_chosen_camera_stay_by_name_when_the_rig_file_is_saved_in_another_order()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await Pick(page, "Spot 7");
        await page.Locator("#cameras").SelectOptionAsync(new SelectOptionValue { Label = "2  from the left" });
        var eye = await Eye(page);
        served.Show.Save(["Spot 12", "guest 1", .. served.Show.Fixtures.Take(11)], ["balcony", "house", "from the left"]);
        await Expect(page.Locator("#cameras")).ToHaveValueAsync("rig:from the left");
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 7");
        Assert.Equal(eye, await Eye(page));

        // What is written now is its own place, not that of the one that stands where it stood in the file.
        await page.Locator("#hangs summary").ClickAsync();
        await page.Locator("#place-x").FillAsync("1.5");
        await page.Locator("#place-form button").ClickAsync();
        await Expect(page.Locator("#said")).ToHaveTextAsync("moved");
        Assert.Equal(1.5f, served.Show.Rig.Fixtures.Single(f => f.Name == "Spot 7").At[0]);

        served.Show.Save([.. served.Show.Fixtures.Where(f => f != "Spot 7")], ["house"]);
        await Expect(page.Locator("#fixture")).ToHaveTextAsync("✕ Spot 7 is not in the rig file any more. Click another head, or find it here.");
        await Expect(page.Locator("#place-form")).ToBeHiddenAsync();
        await Expect(page.Locator("#levels")).ToBeEmptyAsync();
        await Expect(page.Locator("#cameras")).ToHaveValueAsync("hand");
        Assert.Equal(0, await page.Locator("#marks .ring").CountAsync());
        await page.Locator("#picture").FocusAsync();
        await page.Keyboard.PressAsync("n");
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync("Spot 12");
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task An_answer_that_the_saved_rig_file_overtook_brings_no_fixture_back()
    {
        using var given = new ManualResetEventSlim();
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);

        // The file is saved without it while its answer is on its way.
        served.Show.OnItsWay = name =>
        {
            if (name == "Spot 7")
            {
                served.Show.OnItsWay = null;
                served.Show.Save([.. served.Show.Fixtures.Where(f => f != name)], ["house"]);
                given.Wait(TimeSpan.FromSeconds(15));
            }
        };
        await page.Locator("#find").FillAsync("Spot 7");
        await page.Locator("#found button").ClickAsync();
        await Expect(page.Locator("#cameras option")).ToHaveCountAsync(1);
        await Expect(page.Locator("#fixture")).ToContainTextAsync("Spot 7 is not in the rig file any more");
        given.Set();

        // Answered after it.
        await page.Locator("#find").FillAsync("Spot 12");
        await Expect(page.Locator("#found button")).ToContainTextAsync("Spot 12");
        await Expect(page.Locator("#fixture")).ToHaveTextAsync("✕ Spot 7 is not in the rig file any more. Click another head, or find it here.");
        await Expect(page.Locator("#place-form")).ToBeHiddenAsync();
        Assert.Equal(0, await page.Locator("#marks .ring").CountAsync());
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_lost_server_is_said_and_found_again()
    {
        var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        var port = served.Server.Address.Port;
        await BrightnessBecomes(page, b => b > 1);
        await Expect(page.Locator("#stale")).ToBeHiddenAsync();
        await page.Locator("#picture").ClickAsync();
        await page.Locator("#record").ClickAsync();
        await Expect(page.Locator("#record-word")).ToContainTextAsync("Stop");
        await served.DisposeAsync();
        await Expect(page.Locator("#source")).ToContainTextAsync("not connected");
        await Expect(page.Locator("#stale")).ToHaveTextAsync(new Regex(@"last picture \d\d:\d\d:\d\d; whether it still records is not known$"));
        await Expect(page.Locator("#record-word")).ToHaveTextAsync("Recording?");
        await Expect(page.Locator("#record")).ToHaveAttributeAsync("aria-pressed", "mixed");
        Assert.True(await page.EvaluateAsync<bool>("+getComputedStyle(document.getElementById('panel-fixture')).opacity < .8"));
        Assert.True(await page.EvaluateAsync<bool>("+getComputedStyle(document.getElementById('picture')).opacity < .6"));
        Assert.True(await page.EvaluateAsync<bool>("+getComputedStyle(document.getElementById('time').parentElement).opacity < 1"));
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-gone") });
        var again = new SyntheticShow { Level = 150 };
        var journal = new NightJournal(TimeProvider.System);
        using var pump = new FramePump(() => new SyntheticPictures(again), journal, TimeProvider.System, 60);
        pump.Start();
        await using var server = new LiveServer(new LiveServerOptions { Port = port }, again, pump, journal, TimeProvider.System);
        await server.Start();
        await Expect(page.Locator("#source")).ToContainTextAsync("network");
        await Expect(page.Locator("#said")).ToContainTextAsync("The recording take 2 ended while the server was away; what was written is kept.");
        await Expect(page.Locator("#record-word")).ToHaveTextAsync("Record");
        await BrightnessBecomes(page, b => b > 130);
        await Expect(page.Locator("#stale")).ToBeHiddenAsync();
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_page_for_which_there_is_no_room_says_so_and_goes_on_once_there_is()
    {
        await using var served = await ServedShow.Start(new LiveServerOptions { MostViewers = 1 });
        var page = await browser.Open(served.Server.Address);
        await BrightnessBecomes(page, b => b > 1);
        var other = await browser.Open(served.Server.Address);
        await Expect(other.Locator("#no-picture")).ToHaveTextAsync("✕ Not connected: 1 viewer at once is the most; close one, and this page goes on.");
        await Expect(other.Locator("#source")).ToHaveTextAsync("✕ not connected");
        await other.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-no-room") });
        await page.Context.CloseAsync();
        await BrightnessBecomes(other, b => b > 1);
        await Expect(other.Locator("#no-picture")).ToBeHiddenAsync();
        await Expect(other.Locator("#source")).ToContainTextAsync("network");
        await other.Context.CloseAsync();
    }

    [Fact]
    public async Task A_picture_that_hangs_is_dimmed_with_its_time_while_what_is_heard_goes_on()
    {
        using var hang = new ManualResetEventSlim(true);
        await using var served = await ServedShow.Start(pictures: s => new SyntheticPictures(s) { Fail = () => { hang.Wait(); return false; } });
        var page = await browser.Open(served.Server.Address);
        served.Show.Level = 90;
        await BrightnessBecomes(page, b => b > 70);
        hang.Reset();
        served.Show.Level = 0;
        await Expect(page.Locator("#stale")).ToHaveTextAsync(new Regex(@"last picture \d\d:\d\d:\d\d$"));
        await Expect(page.Locator("#source")).ToContainTextAsync("network");
        Assert.True(await page.EvaluateAsync<bool>(
            "+getComputedStyle(document.getElementById('picture')).opacity < .6 && +getComputedStyle(document.getElementById('time').parentElement).opacity "
            + "=== 1"));
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-hangs") });
        hang.Set();
        await BrightnessBecomes(page, b => b < 20);
        await Expect(page.Locator("#stale")).ToBeHiddenAsync();
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Before_the_first_picture_the_page_says_so_and_after_a_restart_the_old_one_stands_dimmed_until_there_is_a_new_one()
    {
        using var drawing = new ManualResetEventSlim();
        ILivePictures Slow(SyntheticShow show) => new SyntheticPictures(show) { Fail = () => { drawing.Wait(); return false; } };
        var served = await ServedShow.Start(pictures: Slow);
        served.Show.Level = 90;
        var (page, port) = (await browser.Open(served.Server.Address), served.Server.Address.Port);
        await Expect(page.Locator("#source")).ToHaveTextAsync("● network");
        await Expect(page.Locator("#no-picture")).ToHaveTextAsync("The first picture is being drawn…");
        await Expect(page.Locator("#stale")).ToBeHiddenAsync();
        drawing.Set();
        await BrightnessBecomes(page, b => b > 70);
        await Expect(page.Locator("#no-picture")).ToBeHiddenAsync();
        await Expect(page.Locator("#stale")).ToBeHiddenAsync();

        // Another server on the same port, whose first picture takes its time.
        await served.DisposeAsync();
        drawing.Reset();
        var again = new SyntheticShow { Level = 200 };
        var journal = new NightJournal(TimeProvider.System);
        using var pump = new FramePump(() => Slow(again), journal, TimeProvider.System, 60);
        pump.Start();
        await using var server = new LiveServer(new LiveServerOptions { Port = port }, again, pump, journal, TimeProvider.System);
        await server.Start();
        await Expect(page.Locator("#source")).ToHaveTextAsync("● network");
        await Expect(page.Locator("#no-picture")).ToHaveTextAsync("The first picture is being drawn…");
        await Expect(page.Locator("#stale")).ToHaveTextAsync(new Regex(@"last picture \d\d:\d\d:\d\d$"));
        Assert.True(await page.EvaluateAsync<bool>("+getComputedStyle(document.getElementById('picture')).opacity < .6"));
        drawing.Set();
        await BrightnessBecomes(page, b => b > 180);
        await Expect(page.Locator("#stale")).ToBeHiddenAsync();
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_server_that_falls_silent_on_an_open_connection_is_told_too()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        var silent = false;
        await page.RouteWebSocketAsync("**/live", socket =>
        {
            // A cable that is out loses nothing: what was sent meanwhile comes when it is in again.
            var late = new Queue<IWebSocketFrame>();
            var server = socket.ConnectToServer();
            server.OnMessage(frame =>
            {
                late.Enqueue(frame);
                while (!Volatile.Read(ref silent) && late.TryDequeue(out var next))
                {
                    // Only text can be a JSON object; a picture begins with its kind, 1.
                    if (next.Binary is { Length: > 0 } bytes && bytes[0] != (byte)'{')
                    {
                        socket.Send(bytes);
                    }
                    else
                    {
                        socket.Send(next.Text ?? System.Text.Encoding.UTF8.GetString(next.Binary!));
                    }
                }
            });
        });
        await page.ReloadAsync();
        await BrightnessBecomes(page, b => b > 1);
        await page.Locator("#picture").ClickAsync();
        var marks = page.Locator("#marks text").Filter(new() { HasText = "lx" });
        await Expect(marks).ToHaveCountAsync(1);
        Volatile.Write(ref silent, true);
        await Expect(page.Locator("#source")).ToHaveTextAsync("✕ no word from the server");
        await Expect(page.Locator("#stale")).ToBeVisibleAsync();
        await Expect(marks).ToHaveCountAsync(0);
        Volatile.Write(ref silent, false);
        await Expect(page.Locator("#source")).ToHaveTextAsync("● network");
        await Expect(page.Locator("#stale")).ToBeHiddenAsync();
        await page.Context.CloseAsync();
    }

    /// <summary>From the point that the first camera looks at, m.</summary>
    private static float Away(float[] eye) => new System.Numerics.Vector3(eye[0], eye[1] - 3, eye[2] - 2.5f).Length();

    private static Task Touch(ICDPSession cdp, string type, int x = 0, int y = 0) => type == "touchEnd" ? Fingers(cdp, type) : Fingers(cdp, type, (x, y));

    private static async Task Fingers(ICDPSession cdp, string type, params (int X, int Y)[] at)
    {
        var points = at.Select((p, i) => (object)new { x = p.X, y = p.Y, id = i }).ToArray();
        await cdp.SendAsync("Input.dispatchTouchEvent", new Dictionary<string, object> { ["type"] = type, ["touchPoints"] = points });
    }

    private static Task<string> Eye(IPage page) => page.EvaluateAsync<string>("() => document.getElementById('picture').dataset.eye");

    private static async Task Pick(IPage page, string fixture)
    {
        await page.Locator("#find").FillAsync(fixture);
        await page.Locator("#found button").Filter(new() { HasText = fixture }).First.ClickAsync();
        await Expect(page.Locator("#fixture h3").First).ToContainTextAsync(fixture);
    }
}
