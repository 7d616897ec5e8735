using StageView.Rig.Profiles;
using StageView.Show.Load;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Show.Tests.Load;

public sealed class LoadTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    /// <summary>
    /// Worked examples of others: 10, 15 and 20 A give 8.66 A (bit1024.com, Neutral Current Calculator); 10, 10 and 5 A give 5.0 A (iee-business.com,
    /// neutral current). The formula as derived in forums.mikeholt.com, thread 1772. Equal ones give none, one alone all.
    /// </summary>
    [Theory]
    [InlineData(10, 15, 20, 8.66)]
    [InlineData(10, 10, 5, 5.0)]
    [InlineData(16, 16, 16, 0)]
    [InlineData(32, 0, 0, 32)]
    public void The_neutral_carries_what_worked_examples_say(double a, double b, double c, double neutral)
    {
        Assert.Equal(neutral, ThreePhase.Neutral(a, b, c), 2);
        // And what adding three phasors gives.
        var sum = System.Numerics.Complex.FromPolarCoordinates(a, 0) + System.Numerics.Complex.FromPolarCoordinates(b, 2 * Math.PI / 3)
            + System.Numerics.Complex.FromPolarCoordinates(c, 4 * Math.PI / 3);
        Assert.Equal(sum.Magnitude, ThreePhase.Neutral(a, b, c), 6);
    }

    [Fact]
    public void A_fixture_draws_what_its_curve_says()
    {
        Assert.Equal(150, FixturePower.Watts(300, null, .5));
        var led = new LoadData(30, [(0, 0), (.5, .4), (1, 1)], null, .9, 0, 0);
        Assert.Equal([30, 84, 138, 300], new[] { 0, .25, .5, 1 }.Select(l => Math.Round(FixturePower.Watts(300, led, l), 6)));
        var lamp = new LoadData(20, [(0, 1), (1, 1)], null, .95, 60, 900);
        Assert.Equal(700, FixturePower.Watts(700, lamp, 0));
        Assert.Equal(900, FixturePower.Watts(700, lamp, 0, sinceStruck: 59));
        Assert.Equal(700, FixturePower.Watts(700, lamp, 0, sinceStruck: 60));
    }

    [Fact]
    public void The_worst_second_is_no_single_instant_and_memory_is_bounded()
    {
        var book = new LoadBook(.1);
        for (var i = 0; i < 100_000; i++)
        {
            // One look of 10 kW at 100 s, and a second of 3 kW from 200 s on.
            book.Add(i * .1, i == 1000 ? 10_000 : i is >= 2000 and < 2010 ? 3000 : 100);
        }

        Assert.Equal(3000, book.Worst.Watts, 6);
        Assert.Equal(200, book.Worst.At, 6);
        Assert.InRange(book.Row.Count, LoadBook.MostRows / 2, LoadBook.MostRows);
        Assert.Equal((9900 + (10 * 2900) + (100_000 * 100)) * .1, book.Joules, 3);
    }

    private string Rig(string more = "")
    {
        Directory.CreateDirectory(_folder["profiles"]);
        File.WriteAllText(Path.Combine(_folder["profiles"], "lamp.fixture.jsonc"), """
            {
              "name": "Lamp", "power": 2300, "load": { "standby": 0, "powerFactor": 1 },
              "geometry": [{ "name": "lens", "beam": { "kind": "spot", "flux": 1000, "beamAngle": 20, "lensRadius": 0.05, "colourTemperature": 3200 } }],
              "modes": [{ "name": "Basic", "channels": [{ "attribute": "Dimmer", "geometry": "lens" }] }]
            }
            """);
        var path = _folder["three.rig.jsonc"];
        File.WriteAllText(path, $$"""
            {
              "name": "Three phases", "profiles": ["profiles"], "feeds": [{ "name": "stage left", "amps": 9 }],
              "hangs": [
                { "name": "one", "profile": "lamp", "at": [0, 0, 5], "patch": "1.1", "phase": 1, "feed": "stage left" },
                { "name": "two", "profile": "lamp", "at": [2, 0, 5], "patch": "1.2", "phase": 2, "feed": "stage left" },
                { "name": "three", "profile": "lamp", "at": [4, 0, 5], "patch": "1.3", "phase": 3, "feed": "stage left" }{{more}}
              ]
            }
            """);
        return path;
    }

    [Fact]
    public void Power_of_a_show_by_feed_and_phase()
    {
        var rig = RigFiles.Open(Rig());
        // 10 s: one at full, two at half; three at full in the last second alone.
        var path = _folder["show.pcapng"];
        LevelsCapture.Write(path, 10, 20, i => [255, 128, (byte)(i >= 180 ? 255 : 0)]);
        using var show = new CaptureShow(rig, path);
        var answer = LoadRun.Run(show, .1, cold: false, null, 10);
        var feed = Assert.Single(answer.Feeds);
        Assert.Equal(("stage left", 230.0, 9.0), (feed.Feed, feed.Volts, feed.SaidAmps));
        Assert.Equal([1, 2, 3], feed.Phases.Select(p => p.Phase));
        Assert.Equal(2.3, feed.Phases[0].MeanKw, 2);
        Assert.Equal([10.0, 5.02, 10], feed.Phases.Select(p => Math.Round(p.WorstAmps, 2)));
        // Of 10 and 5.02 A alone √(100 + 25.2 - 50.2) = 8.66 A; with 10 A on the third 4.98 A.
        Assert.Equal(8.66, feed.NeutralAmps, 2);
        Assert.Equal(5.754, answer.Worst.Kw, 2);
        Assert.InRange(answer.Worst.At, 8.9, 9.2);
        Assert.InRange(answer.Kwh, .00980, .01040);
        Assert.True(answer.IsOver);
        Assert.Empty(answer.NoCurve);
        Assert.Contains("An electrician decides", LoadPage.Write("x", answer), StringComparison.Ordinal);
    }

    /// <summary>What a closed shutter hides of a source that it switches draws no power; of a lamp that burns on the curve says so.</summary>
    [Fact]
    public void A_shutter_that_is_closed_counts_as_dark()
    {
        var rig = Rig();
        var profile = Path.Combine(_folder["profiles"], "lamp.fixture.jsonc");
        const string Dimmer = "{ \"attribute\": \"Dimmer\", \"geometry\": \"lens\" }";
        File.WriteAllText(profile, File.ReadAllText(profile).Replace(Dimmer, Dimmer + ", " + Dimmer.Replace("Dimmer", "Shutter1", StringComparison.Ordinal),
            StringComparison.Ordinal));
        File.WriteAllText(rig, File.ReadAllText(rig).Replace("\"1.3\"", "\"1.5\"", StringComparison.Ordinal)
            .Replace("\"1.2\"", "\"1.3\"", StringComparison.Ordinal));
        var path = _folder["show.pcapng"];
        LevelsCapture.Write(path, 4, 20, _ => [255, 255, 255, 0, 0, 255]);
        using var show = new CaptureShow(RigFiles.Open(rig), path);
        Assert.Equal([10.0, 0, 0], Assert.Single(LoadRun.Run(show, .1, cold: false, null, 4).Feeds).Phases.Select(p => Math.Round(p.WorstAmps, 2)));
    }

    [Fact]
    public void The_demo_draws_no_more_than_everything_at_full()
    {
        var rig = RigFiles.Open(Repo.Foundry);
        using var show = new CaptureShow(rig, Repo.File("scenes", "foundry", "foundry.pcapng"));
        var answer = LoadRun.Run(show, 1, cold: false, CaptureTrack.Of(Repo.File("scenes", "foundry", "foundry.pcapng")), 30);
        Assert.InRange(answer.Worst.Kw, .5, answer.FullKw);
        Assert.InRange(answer.MeanKw, .1, answer.Worst.Kw);
        Assert.StartsWith("01:00:", answer.Worst.Timecode, StringComparison.Ordinal);
        Assert.Equal(answer.MeanKw * 30 / 3600, answer.Kwh, 3);
    }

    [Theory]
    [InlineData("\"curve\": [[0, 0], [0.5, 0.4], [0.5, 1]]", "levels must rise")]
    [InlineData("\"powerFactor\": 2", "powerFactor")]
    public void A_load_that_cant_be_is_told_with_its_place(string key, string said)
    {
        var rig = Rig();
        var profile = Path.Combine(_folder["profiles"], "lamp.fixture.jsonc");
        File.WriteAllText(profile, File.ReadAllText(profile).Replace("\"powerFactor\": 1", key, StringComparison.Ordinal));
        var told = Assert.Throws<StopException>(() => RigFiles.Open(rig)).Message;
        Assert.Contains("lamp.fixture.jsonc:2", told, StringComparison.Ordinal);
        Assert.Contains(said, told, StringComparison.Ordinal);
    }
}
