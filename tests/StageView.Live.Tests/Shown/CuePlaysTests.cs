using System.Text.Json;
using StageView.Live.Night;
using StageView.Live.Shown;
using StageView.Live.Terms;

namespace StageView.Live.Tests.Shown;

/// <summary>Cue files on the stage: opened, followed, left.</summary>
public sealed class CuePlaysTests : IDisposable
{
    private const string Song = """
        { "length": 8, "timecode": { "start": "03:00:00:00" }, "sound": { "file": "song.ogg", "start": 2 },
          "cues": [{ "time": 1, "name": "on", "set": [{ "fixtures": "1", "dimmer": 1 }] },
                   { "time": 5, "name": "off", "set": [{ "fixtures": "1", "dimmer": 0 }] }] }
        """;

    private readonly RigCopy _copy = new("one-mirror");
    private readonly NightJournal _journal = new(TimeProvider.System);
    private readonly LiveShow _show;

    public CuePlaysTests()
    {
        File.WriteAllText(Cues, Song);
        File.WriteAllBytes(Path.Combine(_copy.Folder, "song.ogg"), [1, 2, 3]);
        _show = new LiveShow(
            new LiveShowOptions
            {
                RigFile = _copy.File, Recordings = Path.Combine(_copy.Folder, "recordings"), Looks = _copy.Folder, E131Port = FreePort.Udp(),
                ArtNetPort = FreePort.Udp(),
            },
            _journal, TimeProvider.System);
    }

    private string Cues => Path.Combine(_copy.Folder, "song.cues.jsonc");

    public void Dispose()
    {
        _show.Dispose();
        _copy.Dispose();
    }

    [Fact]
    public async Task A_cue_file_is_opened_like_a_capture_with_its_timecode_and_its_sound()
    {
        Assert.Contains("song.cues.jsonc", JsonSerializer.Serialize(_show.Shelves().Data, LiveJson.Options), StringComparison.Ordinal);
        await Open();
        var capture = _show.State().Capture!;
        Assert.Equal("song.cues.jsonc", capture.Name);
        Assert.Equal(["on 1", "off 5"], capture.Cues.Select(c => $"{c.Name} {c.Seconds}"));
        Assert.Equal(new SoundLine("song.ogg", 2), capture.Sound);
        Assert.Equal(Path.Combine(_copy.Folder, "song.ogg"), _show.SoundFile);
        Assert.True(_show.SeekTo("cue:on").Ok);
        Assert.True(_show.Seek(2).Ok);
        Assert.InRange(Lux(), 100, double.MaxValue);
        await Becomes(() => _show.State().Timecode == "03:00:02:00");
        Assert.True(_show.Seek(7).Ok);
        Assert.Equal(0, Lux());
        Assert.True(_show.Listen().Ok);
        Assert.Null(_show.SoundFile);
    }

    [Fact]
    public async Task A_save_is_played_anew_where_the_show_stands_and_the_last_good_one_stays_on_a_mistake()
    {
        await Open();
        Assert.True(_show.Seek(3).Ok);
        var full = Lux();
        Save(Song.Replace("\"dimmer\": 1 ", "\"dimmer\": 0.5 ", StringComparison.Ordinal));
        await Becomes(() => Says("was saved, and is played anew"));
        // What the page is told is a fifth of a second old at most.
        await Becomes(() => _show.State().Seconds == 3);
        Assert.InRange(Lux(), .01 * full, .9 * full);
        var half = Lux();
        Save(Song.Replace("\"dimmer\": 1 ", "\"dimer\": 1 ", StringComparison.Ordinal));
        await Becomes(() => Says("did you mean \"dimmer\"?") && Says("the last good one stays"));
        Assert.Equal(half, Lux());
        Assert.Equal("capture", _show.State().Source);
    }

    [Fact]
    public async Task Another_patch_in_the_rig_is_sent_to_at_once()
    {
        await Open();
        Assert.True(_show.Seek(3).Ok);
        var full = Lux();
        await File.WriteAllTextAsync(_copy.File,
            (await File.ReadAllTextAsync(_copy.File, TestContext.Current.CancellationToken)).Replace("\"1.1\"", "\"5.101\"", StringComparison.Ordinal),
            TestContext.Current.CancellationToken);
        await Becomes(() => Says("is played anew"));
        Assert.Equal(full, Lux(), 1);
    }

    [Fact]
    public void One_with_mistakes_is_refused_with_the_line()
    {
        File.WriteAllText(Cues, Song.Replace("\"length\": 8", "\"lenth\": 8", StringComparison.Ordinal));
        var answer = _show.Open("song.cues.jsonc");
        Assert.False(answer.Ok);
        Assert.Contains("song.cues.jsonc:1: $", answer.Text, StringComparison.Ordinal);
        Assert.Equal("network", _show.State().Source);
        Assert.False(_show.Open("../song.cues.jsonc").Ok);
    }

    private async Task Open()
    {
        var answer = _show.Open("song.cues.jsonc");
        Assert.True(answer.Ok, answer.Text);
        await Becomes(() => _show.State().Source == "capture");
        await Becomes(() => _show.State().Making is null);
    }

    private double Lux() => ((FixtureCard)_show.Fixture(_show.Rig.Fixtures[0].Name).Data!).Landings.Sum(l => l.Lux);

    private void Save(string text)
    {
        File.WriteAllText(Cues, text);
        File.SetLastWriteTimeUtc(Cues, File.GetLastWriteTimeUtc(Cues).AddSeconds(1));
    }

    private bool Says(string text) => _journal.Newest(200).Any(e => e.Text.Contains(text, StringComparison.Ordinal));

    private static async Task Becomes(Func<bool> done)
    {
        for (var i = 0; i < 1200 && !done(); i++)
        {
            await Task.Delay(50, TestContext.Current.CancellationToken);
        }

        Assert.True(done());
    }
}
