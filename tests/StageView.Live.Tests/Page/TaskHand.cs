using System.Text.Json;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>
/// Somebody's hand on the page, which counts what it does: a click, a tap, a drag, a swipe that scrolls and a key press are an action each, and so is each
/// letter typed; an entry of a list takes two, one to open it.
/// </summary>
internal abstract class TaskHand(IPage page)
{
    public IPage Page => page;

    public int Actions { get; protected set; }

    /// <summary>A new visit: nothing picked, nothing counted.</summary>
    public async Task Begin(Uri address)
    {
        await page.GotoAsync(address.ToString());
        await Expect(page.Locator("#findings")).ToContainTextAsync("fight");
        await Expect(page.Locator("#cameras option")).Not.ToHaveCountAsync(0);
        await BrightnessBecomes(page, b => b > 30);
        Actions = 0;
    }

    /// <summary>Presses a button.</summary>
    public abstract Task Press(string selector);

    public abstract Task Tab(string name);

    public abstract Task Choose(string list, string entry);

    public abstract Task Turn();

    /// <summary>Picks the rig's first fixture.</summary>
    public abstract Task PickFirst();

    /// <summary>Finds a fixture and takes the first hit.</summary>
    public abstract Task Search(string text);

    /// <summary>Asks how what is picked is aimed at a point of the picture.</summary>
    public abstract Task Aim();

    public abstract Task Write(string field, string text);

    /// <summary>Ends what was written.</summary>
    public abstract Task Save(string button);

    public abstract Task Record();

    /// <summary>Another time of the capture.</summary>
    public abstract Task Scrub();

    /// <summary>Hangs what is picked elsewhere.</summary>
    public abstract Task Move();

    public abstract Task TakeBack();

    public abstract Task OtherCamera();

    public abstract Task Help();

    /// <summary>Something must be read: it is scrolled to where it is out of sight.</summary>
    public async Task See(string selector)
    {
        await Expect(page.Locator(selector).First).ToBeVisibleAsync();
        if (!await IsInSight(selector))
        {
            await Scroll(selector);
            Assert.True(await IsInSight(selector), selector + " can't be brought into sight");
        }
    }

    protected abstract Task Scroll(string selector);

    protected Task<bool> IsInSight(string selector) => page.Locator(selector).First.EvaluateAsync<bool>("""
        e => new Promise(done => {
          const seen = new IntersectionObserver(([i]) => { seen.disconnect(); done(i.intersectionRatio > .9); }, { threshold: [0, .91] });
          seen.observe(e);
        })
        """);

    /// <summary>A point of the show in the picture, as its first camera sees it: CSS pixels of the page.</summary>
    protected async Task<(float X, float Y)> InPicture(float x, float y, float z)
    {
        var at = await page.EvaluateAsync<JsonElement>("""
            async point => { const { Camera } = await import("/camera.js"), c = Camera.from([0, -14, 4], [0, 3, 4], 50, 7);
              const r = document.getElementById("picture").getBoundingClientRect(), p = c.project(point, r.width / r.height);
              return [r.left + p[0] * r.width, r.top + p[1] * r.height]; }
            """, new double[] { x, y, z });
        return (at[0].GetSingle(), at[1].GetSingle());
    }
}

/// <summary>A mouse, or a finger.</summary>
internal sealed class PointerHand(IPage page, bool finger) : TaskHand(page)
{
    private const string Scrolled = """
        e => { const scrolls = x => x.scrollHeight > x.clientHeight + 1 && /auto|scroll/.test(getComputedStyle(x).overflowY);
          let p = e.parentElement; while (p && !scrolls(p)) p = p.parentElement;
          const room = p ? p.clientHeight : innerHeight, top = (p ?? document.documentElement).scrollTop; e.scrollIntoView({ block: "nearest" });
          return Math.max(1, Math.ceil(Math.abs((p ?? document.documentElement).scrollTop - top) / room / .8)); }
        """;

    public override async Task Press(string selector)
    {
        var target = Page.Locator(selector).First;
        if (await target.EvaluateAsync<bool>("e => !!e.closest('#more-tools') && !e.checkVisibility()"))
        {
            await Press("#more");
        }

        await See(selector);
        Actions++;
        await (finger ? target.TapAsync() : target.ClickAsync());
    }

    public override Task Tab(string name) => Press("#tab-" + name);

    public override async Task Choose(string list, string entry)
    {
        await See(list);
        await Page.Locator(list).FocusAsync();
        await Expect(Page.Locator(list + " option").Filter(new() { HasText = entry })).ToHaveCountAsync(1);
        Actions += 2;
        await Page.Locator(list).SelectOptionAsync(new SelectOptionValue
        {
            Label = await Page.Locator(list + " option").Filter(new() { HasText = entry }).TextContentAsync(),
        });
    }

    public override async Task Turn()
    {
        var (x, y) = await InPicture(0, 3, 4);
        await Drag((x, y), (x + 60, y + 10));
    }

    public override async Task PickFirst() => await At(-3, 0, 7.7f);

    public override async Task Search(string text)
    {
        await Write("#find", text);
        await Press("#found button");
    }

    public override async Task Aim()
    {
        await Press("#aim-mode");
        await At(1, 3, 0);
    }

    public override async Task Write(string field, string text)
    {
        await Press(field);
        Actions += text.Length;
        await Page.Keyboard.TypeAsync(text);
    }

    public override Task Save(string button) => Press(button);

    public override Task Record() => Press("#record");

    public override async Task Scrub()
    {
        await See("#scrub");
        var r = (await Page.Locator("#scrub").BoundingBoxAsync())!;
        Actions++;
        var (x, y) = (r.X + (r.Width * .3f), r.Y + (r.Height / 2));
        await (finger ? Page.Touchscreen.TapAsync(x, y) : Page.Mouse.ClickAsync(x, y));
    }

    public override async Task Move()
    {
        await Press("#move-mode");
        var from = await InPicture(-3, 0, 8);
        await Drag(from, (from.X + 24, from.Y));
    }

    public override async Task TakeBack()
    {
        await Tab("rigfile");
        await Press("#undo");
    }

    public override Task OtherCamera() => Choose("#cameras", "from the left");

    public override async Task Help()
    {
        await Press("#keys-open");
        await See("#gestures");
        await Press("#keys [type=submit]");
    }

    protected override async Task Scroll(string selector) => Actions += await Page.Locator(selector).First.EvaluateAsync<int>(Scrolled);

    private async Task At(float x, float y, float z)
    {
        await See("#picture");
        var (left, top) = await InPicture(x, y, z);
        Actions++;
        await (finger ? Page.Touchscreen.TapAsync(left, top) : Page.Mouse.ClickAsync(left, top));
    }

    private async Task Drag((float X, float Y) from, (float X, float Y) to)
    {
        await See("#picture");
        Actions++;
        (float X, float Y)[] way = [.. Enumerable.Range(1, 4).Select(i => (from.X + ((to.X - from.X) * i / 4), from.Y + ((to.Y - from.Y) * i / 4)))];
        if (!finger)
        {
            await Page.Mouse.MoveAsync(from.X, from.Y);
            await Page.Mouse.DownAsync();
            foreach (var (x, y) in way)
            {
                await Page.Mouse.MoveAsync(x, y);
            }

            await Page.Mouse.UpAsync();
            return;
        }

        var cdp = await Page.Context.NewCDPSessionAsync(Page);
        async Task Touch(string type, params object[] points) =>
            await cdp.SendAsync("Input.dispatchTouchEvent", new Dictionary<string, object> { ["type"] = type, ["touchPoints"] = points });
        await Touch("touchStart", new { x = from.X, y = from.Y });
        foreach (var (x, y) in way)
        {
            await Touch("touchMove", new { x, y });
        }

        await Touch("touchEnd");
        await cdp.DetachAsync();
    }
}

/// <summary>Keys alone: F6 from part to part, the tab key within one.</summary>
internal sealed class KeysHand(IPage page) : TaskHand(page)
{
    private const int Most = 60;

    public override async Task Press(string selector)
    {
        if (await Page.Locator(selector).First.EvaluateAsync<bool>("e => !!e.closest('#more-tools') && !e.checkVisibility()"))
        {
            await Press("#more");
        }

        await Reach(selector);
        await Key("Enter");
    }

    public override async Task Tab(string name)
    {
        await Reach("#tabs [aria-selected=true]");

        // They go round.
        var up = await Page.Locator("#tab-" + name).EvaluateAsync<bool>("""
            e => { const all = [...document.querySelectorAll("#tabs > :not([hidden])")], far = all.indexOf(e) - all.indexOf(document.activeElement);
              return (far + all.length) % all.length > all.length / 2; }
            """);
        for (var i = 0; i < Most && !await Has("#tab-" + name); i++)
        {
            await Key(up ? "ArrowUp" : "ArrowDown");
        }
    }

    public override async Task Choose(string list, string entry)
    {
        await Reach(list);
        await Expect(Page.Locator(list + " option").Filter(new() { HasText = entry })).ToHaveCountAsync(1);

        // The first letter goes to the next entry that begins with it; the arrow keys would take all that stand between.
        for (var i = 0; i < Most && !await IsChosen(list, entry); i++)
        {
            await Key(entry[..1]);
        }

        Assert.True(await IsChosen(list, entry), $"{entry} is not reached in {list}");
    }

    public override async Task Turn()
    {
        await Reach("#picture");
        await Key("ArrowRight");
    }

    public override async Task PickFirst()
    {
        await Reach("#picture");
        await Key("n");
    }

    public override async Task Search(string text)
    {
        await Key("/");
        Actions += text.Length;
        await Page.Keyboard.TypeAsync(text);
        await Key("Enter");
    }

    public override async Task Aim()
    {
        await Reach("#picture");
        await Key("c");
        await Key("t");
    }

    public override async Task Write(string field, string text)
    {
        await Reach(field);
        Actions += text.Length;
        await Page.Keyboard.TypeAsync(text);
    }

    public override Task Save(string button) => Key("Enter");

    public override async Task Record()
    {
        await Reach("#picture");
        await Key("Shift+R");
    }

    public override async Task Scrub()
    {
        await Reach("#scrub");
        await Key("PageUp");
    }

    public override async Task Move()
    {
        await Press("#hangs summary");
        await Reach("#place-x");
        await Key("ArrowUp");
        await Key("Enter");
    }

    public override async Task TakeBack()
    {
        await Reach("#picture");
        await Key("Control+z");
    }

    public override async Task OtherCamera()
    {
        await Reach("#picture");
        await Key("2");
    }

    public override async Task Help()
    {
        await Key("?");
        await See("#gestures");
        await Key("Escape");
    }

    protected override async Task Scroll(string selector)
    {
        if (!await Page.Locator("#keys").EvaluateAsync<bool>("k => k.open"))
        {
            await Reach("#panels > section:not([hidden])");
        }

        for (var i = 0; i < 12 && !await IsInSight(selector); i++)
        {
            await Key("PageDown");
            await Page.WaitForTimeoutAsync(200);
        }
    }

    private Task<bool> IsChosen(string list, string entry) =>
        Page.Locator(list).EvaluateAsync<bool>("(s, e) => s.selectedOptions[0]?.textContent.startsWith(e)", entry);

    private async Task Key(string key)
    {
        Actions++;
        await Page.Keyboard.PressAsync(key);
    }

    private Task<bool> Has(string selector) => Page.Locator(selector).First.EvaluateAsync<bool>("e => e === document.activeElement");

    private async Task Reach(string selector)
    {
        await Expect(Page.Locator(selector).First).ToBeVisibleAsync();
        if (await Has(selector))
        {
            return;
        }

        const string SamePart = """
            e => { const part = x => ["more-tools", "tools", "stage", "timebar", "sheet"].find(id => document.getElementById(id).contains(x));
              const [a, b] = [part(e), part(document.activeElement)];
              return a === b || (a === "tools" && b === "stage") || (a === "more-tools" && b === "tools"); }
            """;
        var target = Page.Locator(selector).First;
        for (var i = 0; i < 4 && !await target.EvaluateAsync<bool>(SamePart); i++)
        {
            await Key("F6");
        }

        // Backwards where it lies before what has the focus.
        var back = await target.EvaluateAsync<bool>("e => !!(e.compareDocumentPosition(document.activeElement) & Node.DOCUMENT_POSITION_FOLLOWING)");
        for (var i = 0; i < Most && !await Has(selector); i++)
        {
            await Key(back ? "Shift+Tab" : "Tab");
        }

        Assert.True(await Has(selector), $"{selector} is not reached by keys");
    }
}
