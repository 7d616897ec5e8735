using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>
/// What somebody does with the page in a night, each task in as few actions as <c>docs/measurements/tasks.md</c> has it: more is a step back.
/// </summary>
[Collection(LiveMachine.Name)]
public sealed class TaskTests(Browser browser)
{
    private static readonly (string Name, int Most, string What, Func<TaskShow, TaskHand, Task> Do)[] s_tasks =
    [
        ("understand", 4, "what is shown, where it comes from and whether all is well, read at once; then the list of keys and gestures, and back",
            Understand),
        ("turn", 2, "the view is turned",
            async (_, hand) =>
        {
            var before = await Eye(hand.Page);
            await hand.Turn();
            await Expect(hand.Page.Locator("#picture")).Not.ToHaveAttributeAsync("data-eye", before);
        }),
        ("pick", 2, "a head is picked",
            async (_, hand) =>
        {
            await hand.PickFirst();
            await Picked(hand, "head 1");
        }),
        ("levels", 4, "a head is picked and its first level read",
            async (_, hand) =>
        {
            await hand.PickFirst();
            await Picked(hand, "head 1");
            await hand.See("#levels tbody tr");
        }),
        ("who fights", 4, "a head is picked, and who wins its first channel and who loses is read",
            async (_, hand) =>
        {
            await hand.PickFirst();
            await hand.See("#levels .drive.fought");
            await Expect(hand.Page.Locator("#levels .drive").First).ToContainTextAsync("main desk");
            await Expect(hand.Page.Locator("#levels .drive").First).ToContainTextAsync("spare desk");
        }),
        ("silent universe", 8, "which patched universe nobody sends",
            async (_, hand) =>
        {
            await hand.Tab("network");
            var row = hand.Page.Locator("#universes tr").Filter(new() { HasText = "1 fixture patched" });
            await Expect(row).ToHaveCountAsync(1);
            await hand.See("#universes th.silent, #universes th.lost");
        }),
        ("search", 8, "a fixture is found by four letters of its name, and picked",
            async (_, hand) =>
        {
            await hand.Search("side");
            await Picked(hand, "side");
            await hand.See("#fixture h3");
        }),
        ("aim", 6, "a head is picked, a point taken, and pan and tilt for it read",
            async (_, hand) =>
        {
            await hand.PickFirst();
            await Picked(hand, "head 1");
            await hand.Aim();
            await hand.See("#aim .way p");
        }),
        ("look", 18, "a look is tried, and the network shown again",
            async (_, hand) =>
        {
            await hand.Tab("looks");
            await hand.Press("#looks button");
            await Expect(hand.Page.Locator("#source")).ToContainTextAsync("look: one");
            await hand.Press("#listen");
            await Expect(hand.Page.Locator("#source")).Not.ToContainTextAsync("look");
        }),
        ("record and scrub", 10, "recording begins and ends, the capture is opened, another time of it shown",
            RecordAndScrub),
        ("drag and undo", 18, "a head is picked and hung elsewhere (by keys its X is changed), and that is taken back",
            MoveAndTakeBack),
        ("break and mend", 0, "the rig file is broken and mended in an editor: where it is broken is read here",
            BreakAndMend),
        ("camera", 2, "another camera",
            async (_, hand) =>
        {
            await hand.OtherCamera();
            await Expect(hand.Page.Locator("#cameras")).ToHaveValueAsync("rig:from the left");
        }),
        ("save a view", 20, "the view is saved under a name of three letters",
            async (_, hand) =>
        {
            await hand.Press("#camera-save");
            await Expect(hand.Page.Locator("#line")).ToBeFocusedAsync();
            await hand.Write("#line", "mid");
            await hand.Save("#line-save");
            await Expect(hand.Page.Locator("#cameras")).ToContainTextAsync("mid");
        }),
        ("journal", 6, "the newest entry of the journal is read",
            async (_, hand) =>
        {
            await hand.Tab("night");
            await hand.See("#night li");
        }),
    ];

    // The others are run by ./dev bench tasks.
    [Theory]
    [InlineData("phone", "touch", 390, 844)]
    [InlineData("tablet", "touch", 820, 1180, Explicit = true)]
    [InlineData("desktop", "mouse", 1440, 900, Explicit = true)]
    [InlineData("desktop", "keys", 1440, 900, Explicit = true)]
    public async Task Each_task_takes_no_more_actions_than_were_counted_before(string size, string by, int width, int height)
    {
        await using var show = await TaskShow.Start();
        var page = await browser.Page(new Uri("about:blank"), width, height, touch: by == "touch");

        // What a page leaves for its next load would be found by the next task.
        await page.AddInitScriptAsync("sessionStorage.clear()");
        TaskHand hand = by == "keys" ? new KeysHand(page) : new PointerHand(page, finger: by == "touch");
        var rows = new List<(string Task, int Most, string What, int Count)>();
        foreach (var (name, most, what, task) in s_tasks)
        {
            await hand.Begin(show.Server.Address);
            try
            {
                await task(show, hand);
            }
            finally
            {
                await page.ScreenshotAsync(new PageScreenshotOptions { Path = Browser.Shot($"task-{size}-{by}-{name.Replace(' ', '-')}") });
            }

            rows.Add((name, most, what, hand.Actions));
        }

        await page.Context.CloseAsync();
        if (Environment.GetEnvironmentVariable("STAGEVIEW_WRITE_TASKS") == "1")
        {
            TaskTable.Write($"{size}, {by}", rows);
        }

        Assert.All(rows, r => Assert.InRange(r.Count, 0, Math.Min(r.Most, TaskTable.Read(r.Task, $"{size}, {by}") ?? -1)));
    }

    private static async Task Understand(TaskShow show, TaskHand hand)
    {
        foreach (var there in new[] { "#source", "#time", "#picture", "#tab-network" })
        {
            await hand.See(there);
        }

        Assert.Equal(0, hand.Actions);
        await hand.Help();
        await Expect(hand.Page.Locator("#keys")).ToBeHiddenAsync();
    }

    private static async Task RecordAndScrub(TaskShow show, TaskHand hand)
    {
        await hand.Record();
        await Expect(hand.Page.Locator("#record")).ToHaveAttributeAsync("aria-pressed", "true");
        var name = show.Show.State().Recorder.Name!;
        await Until(() => show.Show.State().Recorder.Seconds > 1.5);
        await hand.Record();
        await Expect(hand.Page.Locator("#record")).ToHaveAttributeAsync("aria-pressed", "false");
        await hand.Choose("#captures", Path.GetFileNameWithoutExtension(name)[5..]);
        await Expect(hand.Page.Locator("#scrub")).ToBeEnabledAsync();
        var before = await hand.Page.Locator("#scrub-at").TextContentAsync();
        await hand.Scrub();
        await Expect(hand.Page.Locator("#scrub-at")).Not.ToHaveTextAsync(before!);
    }

    private static async Task MoveAndTakeBack(TaskShow show, TaskHand hand)
    {
        float Place() => show.Show.Rig.Fixtures[0].At[0];
        Assert.Equal(-3, Place());
        await hand.PickFirst();
        await Picked(hand, "head 1");
        await hand.Move();
        await Until(() => Place() > -3);
        await hand.TakeBack();
        await Until(() => Place() == -3);
    }

    private static async Task BreakAndMend(TaskShow show, TaskHand hand)
    {
        show.Save(TaskShow.Rig.Replace("\"patch\": \"1.101\"", "\"patch\": 1.101", StringComparison.Ordinal));
        await Expect(hand.Page.Locator("#fault")).ToContainTextAsync("line ");
        await hand.See("#fault");
        show.Save(TaskShow.Rig);
        await Expect(hand.Page.Locator("#fault")).ToBeHiddenAsync();
    }

    private static Task Picked(TaskHand hand, string name) => Expect(hand.Page.Locator("#fixture h3").First).ToContainTextAsync(name);

    private static Task<string> Eye(IPage page) => page.EvaluateAsync<string>("() => document.getElementById('picture').dataset.eye");

    private static async Task Until(Func<bool> holds)
    {
        var from = TimeProvider.System.GetTimestamp();
        while (!holds())
        {
            Assert.True(TimeProvider.System.GetElapsedTime(from) < TimeSpan.FromMinutes(1), "waited in vain");
            await Task.Delay(20, TestContext.Current.CancellationToken);
        }
    }
}
