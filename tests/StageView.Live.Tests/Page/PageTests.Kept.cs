using System.Text.Json;
using StageView.Live.Server;
using StageView.Live.Terms;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>What the page keeps of what it is told: the state, cautions of before, and what is wrong at a fixture's addresses.</summary>
public sealed partial class PageTests
{
    // RFC 6902, appendix A: adding to and removing from objects and arrays, replacing, escaped names.
    [Fact]
    public async Task Changes_of_the_state_are_done_as_the_standard_says_and_to_a_copy()
    {
        string[][] cases =
        [
            ["""{"foo":"bar"}""", """[{"op":"add","path":"/baz","value":"qux"}]""", """{"foo":"bar","baz":"qux"}"""],
            ["""{"foo":["bar","baz"]}""", """[{"op":"add","path":"/foo/1","value":"qux"}]""", """{"foo":["bar","qux","baz"]}"""],
            ["""{"baz":"qux","foo":"bar"}""", """[{"op":"remove","path":"/baz"}]""", """{"foo":"bar"}"""],
            ["""{"foo":["bar","qux","baz"]}""", """[{"op":"remove","path":"/foo/1"}]""", """{"foo":["bar","baz"]}"""],
            ["""{"baz":"qux","foo":"bar"}""", """[{"op":"replace","path":"/baz","value":"boo"}]""", """{"baz":"boo","foo":"bar"}"""],
            ["""{"/":9,"~1":10}""", """[{"op":"replace","path":"/~01","value":11}]""", """{"/":9,"~1":11}"""],
            ["""{"foo":["bar"]}""", """[{"op":"add","path":"/foo/-","value":["abc","def"]}]""", """{"foo":["bar",["abc","def"]]}"""],
        ];
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        Assert.Equal(cases.Select(c => $"{c[2]} {c[0]}"), await page.EvaluateAsync<string[]>("""
            cases => import("/patch.js").then(({ patched }) => cases.map(([text, patch]) => {
              const before = JSON.parse(text), after = patched(before, JSON.parse(patch));
              return JSON.stringify(after) + " " + JSON.stringify(before);
            }))
            """, cases));
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Any_state_is_reached_from_any_other_by_what_is_sent()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        var chance = new Random(3);
        var (a, texts) = (Any(chance, 3), new List<string[]>());
        for (var i = 0; i < 300; i++)
        {
            var b = Any(chance, 3);
            var (x, y) = (JsonSerializer.SerializeToElement(a), JsonSerializer.SerializeToElement(b));
            texts.Add([x.GetRawText(), JsonSerializer.Serialize(StateChanges.Between(x, y), LiveJson.Options), y.GetRawText()]);
            a = b;
        }

        Assert.Empty(await page.EvaluateAsync<string[][]>("""
            all => import("/patch.js").then(({ patched }) => {
              const same = (a, b) => a === b || (a && b && typeof a === "object" && typeof b === "object" && Array.isArray(a) === Array.isArray(b)
                && Object.keys(a).length === Object.keys(b).length && Object.keys(a).every(k => k in b && same(a[k], b[k])));
              return all.filter(([a, patch, b]) => !same(patched(JSON.parse(a), JSON.parse(patch)), JSON.parse(b)));
            })
            """, texts));
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Cautions_of_what_is_shown_no_more_stay_listed()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await page.Locator("#tab-cautions").ClickAsync();
        await Expect(page.Locator("#cautions")).ToContainTextAsync("Laser 2 enters");
        await Expect(page.Locator("#cautions-earlier")).ToBeHiddenAsync();
        served.Show.Earlier = [new EarlierCaution("light", "Spot 4 shines into stalls (audience) with up to 900 lx", "the network", "21:04:05")];
        await Expect(page.Locator("#cautions-earlier summary")).ToHaveTextAsync("Earlier (1)");
        await page.Locator("#cautions-earlier summary").ClickAsync();
        await Expect(page.Locator("#cautions-earlier li")).ToHaveTextAsync(
            "△ Spot 4 shines into stalls (audience) with up to 900 lx the network, 21:04:05");
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_fixtures_sheet_says_what_is_wrong_at_its_addresses()
    {
        await using var served = await ServedShow.Start();
        var page = await browser.Open(served.Server.Address);
        await Pick(page, "Spot 7");
        await Expect(page.GetByLabel("On the network")).ToHaveCountAsync(0);
        const string fight = "universe 1: 'a' at 10.0.0.1 and 'b' at 10.0.0.2 fight at equal priority 100 over 3-4";
        served.Show.Troubles = [fight];
        await Expect(page.GetByLabel("On the network")).ToHaveTextAsync("▲ " + fight);
        await page.Context.CloseAsync();
    }

    /// <summary>An invented document of numbers, words, lists and objects.</summary>
    private static object? Any(Random chance, int deep) => chance.Next(deep > 0 ? 6 : 3) switch
    {
        0 => chance.Next(3),
        1 => new[] { "", "a", "b/c", "d~e", "ζ" }[chance.Next(5)],
        2 => chance.Next(2) == 0,
        3 => Enumerable.Range(0, chance.Next(4)).Select(_ => Any(chance, deep - 1)).ToArray(),
        _ => new[] { "a", "b/c", "d~e", "0" }.Where(_ => chance.Next(2) == 0).ToDictionary(k => k, _ => Any(chance, deep - 1)),
    };
}
