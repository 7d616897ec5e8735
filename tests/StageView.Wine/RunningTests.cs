using System.Diagnostics;
using System.Text;
using System.Text.RegularExpressions;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace StageView.Wine;

/// <summary>What runs until it is told to end: live with its page and window, watch, a file that another program holds.</summary>
[Collection(PrefixGroup.Name)]
public sealed partial class RunningTests(Prefix windows, Browser browser)
{
    private static readonly TimeSpan s_patience = TimeSpan.FromMinutes(2);

    private static CancellationToken Stop => TestContext.Current.CancellationToken;

    [Fact]
    public async Task The_page_follows_another_sender_and_writes_a_file_of_Windows_back_as_it_was()
    {
        var file = Rig("edited", out var path);
        var text = await File.ReadAllTextAsync(file, Stop);
        byte[] marked = [.. Encoding.UTF8.GetPreamble(), .. Encoding.UTF8.GetBytes(text.ReplaceLineEndings("\r\n"))];
        await File.WriteAllBytesAsync(file, marked, Stop);
        var (sacn, artNet) = (FreePort.Udp(), FreePort.Udp());
        using var desk = new Desk(sacn);
        using var live = windows.Start("live", path, "--port", "0", "--sacn-port", $"{sacn}", "--artnet-port", $"{artNet}", "--no-window");
        var address = await Address(live);
        var page = await browser.Open(address, 1280, 800);
        await Expect(page.Locator("#rig-name")).ToHaveTextAsync("One mirror");
        await Browser.BrightnessBecomes(page, b => b > 1);
        var dark = await Browser.Brightness(page);
        desk.Set(1, [.. Enumerable.Range(1, 20).Select(i => (i, 255))]);
        await Browser.BrightnessBecomes(page, b => Math.Abs(b - dark) > 3);
        await page.Locator("#tab-network").ClickAsync();
        await Expect(page.Locator("#panel-network")).ToContainTextAsync("independent desk");

        await page.Locator("#tab-fixture").ClickAsync();
        await page.Locator("#find").FillAsync("spot");
        await page.Locator("#found button").First.ClickAsync();
        await page.Locator("#hangs summary").ClickAsync();
        await page.Locator("#place-x").FillAsync("-1.5");
        await page.Locator("#place-form button").ClickAsync();
        await Expect(page.Locator("#said")).ToContainTextAsync("spot moved to");
        var moved = await File.ReadAllBytesAsync(file, Stop);
        var change = Encoding.UTF8.GetBytes("\"at\": [0, 0, 2]");
        var at = marked.AsSpan().IndexOf(change);
        Assert.Equal([.. marked[..at], .. Encoding.UTF8.GetBytes("\"at\": [-1.5, 0, 2]"), .. marked[(at + change.Length)..]], moved);
        await page.Locator("#tab-rigfile").ClickAsync();
        await page.Locator("#undo").ClickAsync();
        await Expect(page.Locator("#said")).ToContainTextAsync("moved back");
        Assert.Equal(marked, await File.ReadAllBytesAsync(file, Stop));
        await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("wine-page") });
        live.Kill();
    }

    [Fact]
    public async Task A_window_opens_and_shows_the_picture()
    {
        Rig("window", out var path);
        using var live = windows.Start("live", path, "--port", "0", "--sacn-port", $"{FreePort.Udp()}", "--artnet-port", $"{FreePort.Udp()}", "--window");
        await Address(live);
        var shot = Browser.Shot("wine-window");
        var from = TimeProvider.System.GetTimestamp();
        string spread;
        do
        {
            Assert.True(TimeProvider.System.GetElapsedTime(from) < s_patience, "the window stayed one colour");
            await Task.Delay(500, Stop);
            Tools.Run("import", "-display", windows.Display, "-window", "root", shot);
            spread = Tools.Run("convert", shot, "-gravity", "center", "-crop", "400x200+0+0", "-format", "%k", "info:");
        }
        while (int.Parse(spread) < 50);
        live.Kill();
    }

    [Fact]
    public async Task Watch_hears_another_sender_and_control_C_ends_it_with_its_summary()
    {
        Rig("watched", out var path);
        using var desk = new Desk(5568);
        desk.Set(1, (1, 200));
        using var watch = windows.StartInTerminal("watch", path);
        var said = new StringBuilder();
        var reading = Task.Run(async () =>
        {
            while (await watch.StandardOutput.ReadLineAsync(Stop) is { } line)
            {
                lock (said)
                {
                    said.Append(line).Append('\n');
                }
            }
        }, Stop);
        string Said()
        {
            lock (said)
            {
                return said.ToString();
            }
        }

        await Until(() => Said().Contains("independent desk", StringComparison.Ordinal), Said);
        await watch.StandardInput.WriteAsync("\u0003");
        await watch.StandardInput.FlushAsync(Stop);
        await watch.WaitForExitAsync(Stop).WaitAsync(s_patience, Stop);
        await reading.WaitAsync(s_patience, Stop);
        var end = Said()[^Math.Min(Said().Length, 1200)..];
        Assert.True(end.Contains("finding", StringComparison.Ordinal) || end.Contains("watched for", StringComparison.Ordinal), end);
        Assert.InRange(watch.ExitCode, 0, 2);
    }

    [Fact]
    public async Task A_file_that_another_program_holds_is_named_and_stays_as_it_was()
    {
        Rig("held", out var path);
        const string kept = @"C:\held by record.pcapng";
        using var holder = windows.Start("record", path, "--out", kept);
        await Until(() => File.Exists(windows.Here(kept)), () => "nothing is recorded");
        var told = windows.Run("export", path, "--out", kept);
        Assert.Equal(2, told.ExitCode);
        Assert.Equal($"stageview: {kept} is held open by another program, or can only be read: close it there, then do this again", told.Errors.TrimEnd());
        Assert.False(File.Exists(windows.Here(kept + ".part")));
        Assert.Equal([0x0A, 0x0D, 0x0D, 0x0A], File.ReadAllBytes(windows.Here(kept))[..4]);
        holder.Kill();
    }

    /// <summary>The rig with one mirror under a name of its own.</summary>
    private string Rig(string name, out string windowsPath)
    {
        windowsPath = $@"{Prefix.Program}\scenes\{name} für heute\{name}.rig.jsonc";
        var file = windows.Here(windowsPath);
        Directory.CreateDirectory(Path.GetDirectoryName(file)!);
        File.Copy(Repo.File("scenes", "one-mirror", "one-mirror.rig.jsonc"), file, overwrite: true);
        return file;
    }

    private static async Task<Uri> Address(Process live)
    {
        var errors = live.StandardError.ReadToEndAsync(Stop);
        while (await live.StandardOutput.ReadLineAsync(Stop).AsTask().WaitAsync(s_patience, Stop) is { } line)
        {
            if (PageLine().Match(line) is { Success: true } m)
            {
                _ = live.StandardOutput.ReadToEndAsync(Stop);
                return new Uri(m.Groups[1].Value);
            }
        }

        throw new InvalidOperationException("live ended: " + await errors);
    }

    private static async Task Until(Func<bool> holds, Func<string> otherwise)
    {
        var from = TimeProvider.System.GetTimestamp();
        while (!holds())
        {
            Assert.True(TimeProvider.System.GetElapsedTime(from) < s_patience, otherwise());
            await Task.Delay(100, Stop);
        }
    }

    [GeneratedRegex("the page is at (.*?)\r?$")]
    private static partial Regex PageLine();
}
