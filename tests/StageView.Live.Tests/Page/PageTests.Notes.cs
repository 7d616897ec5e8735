using Microsoft.Playwright;
using StageView.Live.Shown;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>Marks on the scrubber, and notes that are dropped by one key.</summary>
public sealed partial class PageTests
{
    [Theory]
    [InlineData("desktop", 1440, 900)]
    [InlineData("tablet", 820, 1180)]
    [InlineData("phone", 390, 844)]
    public async Task Cues_changes_and_notes_stand_on_the_scrubber_and_are_stepped_through(string device, int width, int height)
    {
        using var folder = new TempFolder();
        await using var served = await ServedShow.Start();
        var notes = new NotesTable(folder["synthetic.notes.json"], served.Journal, TimeProvider.System);
        served.Show.Notes = notes;
        served.Show.Cues = [new("doors", 12.5) { Timecode = "01:00:12:12" }, new("finale", 48)];
        served.Show.Changes = [new(30, "01:00:30:00", 7, false), new(55, null, 1, true)];
        await using var page = new Closing(await browser.Open(served.Server.Address, width, height, touch: device != "desktop"));
        var (p, keys) = (page.Page, page.Page.Keyboard);
        await Expect(p.Locator("#mark-on")).ToBeHiddenAsync();
        await p.Locator("#captures").SelectOptionAsync("take 1");
        await Expect(p.Locator("#scrub-marks line")).ToHaveCountAsync(4);

        // A mark stands where the slider's thumb would: 30 s of 60 are its middle.
        var (scrub, middle) = ((await p.Locator("#scrub").BoundingBoxAsync())!, (await p.Locator("#scrub-marks .change").First.BoundingBoxAsync())!);
        Assert.Equal(scrub.X + (scrub.Width / 2), middle.X + (middle.Width / 2), 2.0);
        Assert.InRange(middle.Y + (middle.Height / 2), scrub.Y, scrub.Y + scrub.Height);
        foreach (var (key, at) in new[] { ("]", "0:12.5"), ("]", "0:30.0"), ("]", "0:48.0"), ("]", "0:55.0"), ("[", "0:48.0") })
        {
            await keys.PressAsync(key);
            await Expect(p.Locator("#scrub-at")).ToHaveTextAsync(at);
        }

        await p.Locator("#mark-back").ClickAsync();
        await Expect(p.Locator("#scrub-at")).ToHaveTextAsync("0:30.0");
        Assert.Equal(["Go to", "01:00:12:12  doors", "0:48.0  finale", "01:00:30:00  7 addresses move", "0:55.0  flash"],
            await p.Locator("#cues option").AllTextContentsAsync());

        // One key keeps the moment; the words follow.
        await p.Locator("#picture").FocusAsync();
        await keys.PressAsync("m");
        await Expect(p.Locator("#line")).ToBeFocusedAsync();
        await Expect(p.Locator("#line-label")).ToHaveTextAsync("Note at 01:02:03:04 (0:30.0 of take 1)");
        await Expect(p.Locator("#line-form")).ToBeInViewportAsync(new() { Ratio = 1 });
        await keys.TypeAsync("front light too cold, [M]");
        await keys.PressAsync("Enter");
        await Expect(p.Locator("#line-form")).ToBeHiddenAsync();
        await Expect(p.Locator("#scrub-marks circle")).ToHaveCountAsync(1);
        await p.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot($"synthetic-{device}-marks") });
        await Expect(p.Locator("#cues optgroup[label=Notes] option")).ToHaveTextAsync("01:02:03:04  front light too cold, [M]");
        Assert.Equal(["front light too cold, [M]"], notes.State.Notes.Select(n => n.Text));
        Assert.Equal((30, "take 1", "house"), (notes.State.Notes[0].Seconds, notes.State.Notes[0].SourceName, notes.State.Notes[0].Camera.Name));
    }

    [Fact]
    public async Task A_note_is_gone_to_written_ticked_and_exported_with_its_picture()
    {
        using var folder = new TempFolder();
        await using var served = await ServedShow.Start();
        served.Show.Level = 90;
        var notes = new NotesTable(folder["synthetic.notes.json"], served.Journal, TimeProvider.System);
        served.Show.Notes = notes;
        await using var page = new Closing(await browser.Open(served.Server.Address));
        var p = page.Page;
        await BrightnessBecomes(p, b => b > 60);
        await p.Locator("#captures").SelectOptionAsync("take 1");
        await p.Locator("#scrub").FillAsync("20");
        await Expect(p.Locator("#time")).ToHaveTextAsync("0:20.0");
        await p.Locator("#picture").FocusAsync();
        await p.Keyboard.PressAsync("ArrowRight");
        var eye = await Eye(p);
        await p.Keyboard.PressAsync("m");
        await p.Keyboard.PressAsync("Escape");
        await Expect(p.Locator("#notes-count")).ToHaveTextAsync("1");
        await p.Locator("#listen").ClickAsync();
        await Expect(p.Locator("#source")).ToHaveTextAsync("● network");
        await p.Locator("#cameras").SelectOptionAsync("rig:from the left");
        await p.Locator("#tab-notes").ClickAsync();
        await Expect(p.Locator("#notes .row")).ToContainTextAsync("(a mark)");

        // To its moment, and to where it was seen from.
        await p.Locator("#notes .row").ClickAsync();
        await Expect(p.Locator("#time")).ToHaveTextAsync("0:20.0");
        await Expect(p.Locator("#source")).ToHaveTextAsync("❚❚ capture: take 1");
        Assert.Equal(Rounded(eye), Rounded(await Eye(p)));
        await p.Locator("#notes").GetByRole(AriaRole.Button, new() { Name = "Write" }).ClickAsync();
        await p.Locator("#line").FillAsync("<b>cut</b> the haze");
        await p.Keyboard.PressAsync("Enter");
        await Expect(p.Locator("#notes .row")).ToContainTextAsync("<b>cut</b> the haze");
        await p.Locator("#notes input").CheckAsync();
        await Expect(p.Locator("#notes-count")).ToHaveTextAsync("");
        await p.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot("synthetic-notes") });
        Assert.True(notes.State.Notes[0].Done);

        // The list stands for itself: opened from a disk it has its picture, and nothing in it was read as markup.
        var saved = await p.RunAndWaitForDownloadAsync(() => p.Locator("#notes-export a").First.ClickAsync());
        await saved.SaveAsAsync(folder["list.html"]);
        var list = await p.Context.NewPageAsync();
        await list.GotoAsync("file://" + folder["list.html"]);
        await Expect(list.Locator("li")).ToContainTextAsync("<b>cut</b> the haze");
        await Expect(list.Locator("li")).ToContainTextAsync("01:02:03:04 (0:20.0 of take 1)");
        await Expect(list.Locator("li input")).ToBeCheckedAsync();
        Assert.True(await list.Locator("img").EvaluateAsync<bool>("i => i.decode().then(() => i.naturalWidth > 300)"));
        await p.Locator("#notes").GetByRole(AriaRole.Button, new() { Name = "Remove" }).ClickAsync();
        await Expect(p.Locator("#notes li")).ToHaveCountAsync(0);
        Assert.Empty(Directory.GetFiles(folder["synthetic.notes"]));
    }

    private static string Rounded(string eye) => string.Join(' ', eye.Split(' ').Select(v => float.Parse(v).ToString("0.0")));

    /// <summary>A page whose context is closed with it, whatever the test found.</summary>
    private sealed class Closing(IPage page) : IAsyncDisposable
    {
        public IPage Page => page;

        public async ValueTask DisposeAsync() => await page.Context.CloseAsync();
    }
}
