using System.Net;
using System.Net.Http.Headers;
using Microsoft.Playwright;
using static Microsoft.Playwright.Assertions;

namespace StageView.Live.Tests.Page;

/// <summary>The music to a capture.</summary>
public sealed partial class PageTests
{
    [Fact]
    public async Task The_sound_plays_where_the_show_stands_once_it_is_asked_for_and_rests_with_it()
    {
        using var folder = new TempFolder();
        await using var served = await ServedShow.Start();
        served.Show.SoundFile = Tone(folder.File("song.wav"), 20);
        var page = await browser.Open(served.Server.Address);
        await Expect(page.Locator("#sound")).ToBeHiddenAsync();
        Assert.True(served.Show.Open(served.Show.Take).Ok);
        served.Show.Seek(9);
        served.Show.Play(true, 1);
        await Expect(page.Locator("#sound")).ToBeVisibleAsync();
        Assert.True(await page.EvaluateAsync<bool>("document.getElementById('music').paused"));
        await page.Locator("#sound").ClickAsync();
        await Expect(page.Locator("#sound")).ToHaveAttributeAsync("aria-pressed", "true");

        // The show stands at 9 s and the music began at 1 s.
        await Music(page, "!m.paused && Math.abs(m.currentTime - 8) < 1");
        served.Show.Seek(3);
        await Music(page, "Math.abs(m.currentTime - 2) < 1");
        served.Show.Play(false, 1);
        await Music(page, "m.paused");
        served.Show.Play(true, 1);
        await Music(page, "!m.paused");
        await page.Locator("#sound").ClickAsync();
        await Music(page, "m.paused");
        await page.Context.CloseAsync();
    }

    // RFC 9110, 14: a range is answered by 206 with those bytes.
    [Fact]
    public async Task The_sound_is_served_in_ranges_and_nothing_else_is()
    {
        using var folder = new TempFolder();
        await using var served = await ServedShow.Start();
        using var http = served.Http();
        using var none = await http.GetAsync(new Uri("/sound", UriKind.Relative), TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.NotFound, none.StatusCode);
        served.Show.SoundFile = Tone(folder.File("song.wav"), 1);
        using var asked = new HttpRequestMessage(HttpMethod.Get, "/sound") { Headers = { Range = new RangeHeaderValue(44, 143) } };
        using var part = await http.SendAsync(asked, TestContext.Current.CancellationToken);
        Assert.Equal(HttpStatusCode.PartialContent, part.StatusCode);
        Assert.Equal("audio/wav", part.Content.Headers.ContentType!.MediaType);
        Assert.Equal(File.ReadAllBytes(folder.File("song.wav"))[44..144], await part.Content.ReadAsByteArrayAsync(TestContext.Current.CancellationToken));
    }

    private static async Task Music(IPage page, string becomes)
    {
        var script = $"(m => {becomes})(document.getElementById('music'))";
        for (var i = 0; i < 600 && !await page.EvaluateAsync<bool>(script); i++)
        {
            await Task.Delay(50, TestContext.Current.CancellationToken);
        }

        Assert.True(await page.EvaluateAsync<bool>(script), becomes);
    }

    /// <summary>440 Hz, 8 bits, 8 kHz, one channel; the header as the RIFF format has it.</summary>
    private static string Tone(string file, int seconds)
    {
        const int rate = 8000;
        using var writer = new BinaryWriter(File.Create(file));
        writer.Write("RIFF"u8);
        writer.Write(36 + (seconds * rate));
        writer.Write("WAVEfmt "u8);
        writer.Write(16);
        writer.Write((short)1);
        writer.Write((short)1);
        writer.Write(rate);
        writer.Write(rate);
        writer.Write((short)1);
        writer.Write((short)8);
        writer.Write("data"u8);
        writer.Write(seconds * rate);
        for (var i = 0; i < seconds * rate; i++)
        {
            writer.Write((byte)(128 + (40 * Math.Sin(2 * Math.PI * 440 * i / rate))));
        }

        return file;
    }
}
