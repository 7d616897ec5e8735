using System.Numerics;
using StageView.Light.Cautions.Flashes;
using StageView.Light.Cautions.Limits;
using StageView.Rig.Pieces;
using StageView.Show.Cautions;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Show.Tests.Cautions;

/// <summary>
/// From levels to what is seen: WCAG 2.2, general flash and red flash thresholds (more than three flashes within any one second over more than a quarter of
/// ten degrees), and ITU-R BT.1702, which asks the same at 200 cd/m² white.
/// </summary>
public sealed class FlashesQuestionTests : IDisposable
{
    private const string Seat = """
        "volumes": [{ "name": "floor", "kind": "audience", "at": [0, -6, 1], "size": [4, 4, 2], "seats": [[0, -6, 1.5]], "lookAt": [0, 0, 1.5] }]
        """;

    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private RigScene Rig(string hangs, string places = Seat, string scenery = "") => RigFiles.Open(_folder.File("test.rig.jsonc", $$"""
        {
          "name": "test", "profiles": ["{{Repo.File("assets", "fixtures").Replace('\\', '/')}}"], "haze": { "extinction": 0 },
          "hangs": [{{hangs}}], "scenery": [{{scenery}}], {{places}}
        }
        """));

    private FlashesAnswer Ask(RigScene rig, double seconds, int hertz, Func<int, byte[]> levels, CautionLimits? limits = null)
    {
        using var source = new CaptureShow(rig, LevelsCapture.Write(_folder.File("test.pcapng"), seconds, hertz, levels));
        return FlashesQuestion.Answer(source, new FlashesAsked { To = seconds, Limits = limits ?? rig.Limits }, []);
    }

    /// <summary>One facet of a wall upright before the seat, 1.2 by 2.04 m, in universe 1.</summary>
    private static string Wall(double y = 0) => FormattableString.Invariant(
        $$"""{ "name": "wall", "profile": "wall-facet", "number": 1, "at": [0, {{y}}, 1.5], "rotate": [-90, 0, 0], "patch": "1.1" }""");

    // 1.2 by 2.04 m at 6 m are 11 by 19 degrees.
    [Fact]
    public void A_wall_of_pixels_at_15_hertz_is_listed_with_its_rate()
    {
        var answer = Ask(Rig(Wall()), 3, 30, i => LevelsCapture.Even(510, i % 2 == 0 ? 255 : 0));
        var place = Assert.Single(answer.Places);
        var spell = Assert.Single(place.Wcag.Spells, s => s.Kind == FlashKind.General);
        Assert.InRange(spell.Flashes, 14, 15);
        Assert.InRange(spell.Seconds, 2.5, 3);
        Assert.True(spell.AreaShare > 0.25);
        Assert.Same(place.Wcag, place.Broadcast);
        // Read in steps of 1/60 s, five flashes 4/15 s apart may be seen a step closer together.
        Assert.InRange(Assert.Single(answer.Strobes).Rate, 14.9, 16.01);
        Assert.True(answer.Any);
    }

    [Fact]
    public void Three_flashes_a_second_are_allowed_and_a_limit_of_one_is_kept()
    {
        byte[] Levels(int i) => LevelsCapture.Even(510, i % 10 < 5 ? 255 : 0);
        var answer = Ask(Rig(Wall()), 4, 30, Levels);
        Assert.False(answer.Any);
        Assert.InRange(answer.Places[0].Most(FlashKind.General), 2, 3);
        Assert.True(Ask(Rig(Wall()), 4, 30, Levels, CautionLimits.Default with { MostFlashes = 1 }).Any);
    }

    // Two lamps by turns on a matt wall, each on a patch of its own beside the other's: no channel but the dimmers', no lamp faster than two a second.
    [Theory]
    [InlineData(4, true)]
    [InlineData(3, false)]
    public void A_chase_by_dimmers_counts_by_its_steps(int steps, bool listed)
    {
        const string lamps = """
            { "name": "left", "profile": "front-profile", "mode": "Dimmer", "number": 1, "at": [-0.5, -4, 5], "aim": [-0.5, 0, 1.5], "patch": "1.1" },
            { "name": "right", "profile": "front-profile", "mode": "Dimmer", "number": 2, "at": [0.5, -4, 5], "aim": [0.5, 0, 1.5], "patch": "1.2" }
            """;
        var rig = Rig(lamps, scenery: """{ "name": "wall", "shape": "box", "at": [0, 0.1, 2], "size": [8, 0.2, 5], "albedo": 0.6 }""");
        var answer = Ask(rig, 4, 12 * steps, i => i / 12 % 2 == 0 ? [255, 0] : [0, 255]);
        Assert.Equal(listed, answer.Places[0].Wcag.Spells.Count > 0);
        Assert.Equal(steps, answer.Places[0].Most(FlashKind.General));
        Assert.Empty(answer.Strobes);
    }

    [Fact]
    public void A_slow_fade_is_none()
    {
        var answer = Ask(Rig(Wall()), 4, 30, i => LevelsCapture.Even(510, (int)(127.5 * (1 - Math.Cos(Math.Tau * i / 30)))));
        Assert.False(answer.Any);
        Assert.InRange(answer.Places[0].Most(FlashKind.General), 1, 1);
    }

    // Tilt 16 bits, dimmer, shutter, twelve cells of four: the shutter's level 116 tells 0.5 + 106/229 · 21.5 flashes a second.
    [Theory]
    [InlineData(0, false)]
    [InlineData(255, true)]
    public void A_shutter_that_strobes_counts_only_when_it_lets_light_through(int dimmer, bool listed)
    {
        const string batten = """{ "name": "batten", "profile": "cell-batten", "number": 1, "at": [0, 0, 4], "patch": "1.1" }""";
        var answer = Ask(Rig(batten), 3, 30, _ => [128, 0, (byte)dimmer, 116, .. LevelsCapture.Even(48, 255)]);
        Assert.Equal(listed, answer.Any);
        if (listed)
        {
            var strobe = Assert.Single(answer.Strobes);
            Assert.True(strobe.FromLevels);
            Assert.Equal(0.5 + (106 / 229.0 * 21.5), strobe.Rate, 1);
        }
        else
        {
            Assert.Empty(answer.Strobes);
        }
    }

    // Too dim to be a general flash, red enough to be a red one: (R - G - B) · 320 above 20 of white at 200 cd/m².
    [Fact]
    public void Dim_red_flashes_are_red_ones_alone()
    {
        byte[] Red(int level) => [.. Enumerable.Range(0, 510).Select(k => (byte)(k % 3 == 0 ? level : 0))];
        var place = Ask(Rig(Wall()), 3, 30, i => Red(i % 6 < 3 ? 25 : 0)).Places[0];
        Assert.NotEmpty(place.Wcag.Spells);
        Assert.All(place.Wcag.Spells, s => Assert.Equal(FlashKind.Red, s.Kind));
        Assert.Equal(5, place.Most(FlashKind.Red));
    }

    // 60 m away the facet is 1.1 by 1.9 degrees, less than a quarter of ten: no flash for a seat, though the fixture strobes.
    [Fact]
    public void A_small_area_is_none_for_a_seat()
    {
        var answer = Ask(Rig(Wall(54)), 2, 30, i => LevelsCapture.Even(510, i % 2 == 0 ? 255 : 0));
        Assert.Empty(answer.Places[0].Wcag.Spells);
        Assert.Single(answer.Strobes);
    }

    // A camera sees by its exposure: 470 cd/m² are white at EV 5 (38 cd/m²) and next to black at EV 16 (79,000 cd/m²).
    [Theory]
    [InlineData(5, true)]
    [InlineData(16, false)]
    public void A_camera_s_picture_flashes_at_its_exposure(int ev, bool listed)
    {
        var rig = Rig(Wall(), FormattableString.Invariant(
            $$""" "cameras": [{ "name": "close", "at": [0, -3, 1.5], "lookAt": [0, 0, 1.5], "fieldOfView": 30, "ev": {{ev}} }] """));
        var answer = Ask(rig, 2, 30, i => LevelsCapture.Even(510, i % 6 < 3 ? 255 : 0));
        var place = Assert.Single(answer.Places);
        Assert.NotNull(place.Place.Camera);
        Assert.Null(place.Comfort);
        Assert.Equal(listed, place.Broadcast.Spells.Count > 0);
        Assert.Contains(answer.NotChecked, n => n.Why.Contains("no audience volume", StringComparison.Ordinal));
    }

    [Fact]
    public void Without_a_place_nothing_is_checked_and_nothing_is_said_to_be_found()
    {
        var answer = Ask(Rig(Wall(), "\"notes\": \"\""), 1, 30, i => LevelsCapture.Even(510, i % 2 == 0 ? 255 : 0));
        Assert.False(answer.AnythingChecked);
        Assert.Equal(2, answer.NotChecked.Count);
        Assert.Contains("Nothing could be checked", FlashNotice.Of(answer), StringComparison.Ordinal);
    }

    // A moment that is like the one before isn't looked at anew; the curve has it nevertheless.
    [Fact]
    public void What_stands_still_is_looked_at_once()
    {
        var answer = Ask(Rig(Wall()), 5, 30, _ => LevelsCapture.Even(510, 255));
        Assert.Equal(301, answer.Moments);
        Assert.InRange(answer.Looked, 1, 2);
        Assert.True(answer.Places[0].Comfort!.Illuminance.Points[^1].From > 4.8);
        Assert.True(answer.Places[0].Comfort!.WorstIlluminances[0].Lux > 10);
    }

    [Fact]
    public void Flashes_are_told_by_cue_and_the_notice_names_rate_length_and_time()
    {
        using var source = new CaptureShow(Rig(Wall()), LevelsCapture.Write(_folder.File("cues.pcapng"), 6, 30,
            i => LevelsCapture.Even(510, i is >= 60 and < 120 && i % 6 < 3 ? 255 : 0)));
        CueTime[] cues = [.. new (string Name, int At)[] { ("dark", 0), ("storm", 2), ("calm", 5) }
            .Select(c => new CueTime(c.Name, TimeSpan.FromSeconds(c.At), null, ""))];
        var answer = FlashesQuestion.Answer(source, new FlashesAsked { To = 6, Limits = CautionLimits.Default }, cues);
        Assert.Equal([0, 5, 0], answer.Cues.Select(c => c.Flashes));
        Assert.Equal(["", "floor", ""], answer.Cues.Select(c => c.Place));
        Assert.Equal(5, answer.Cues[1].StrobeRate, 1);
        var notice = FlashNotice.Of(answer);
        Assert.Contains("This show contains flashing light.", notice, StringComparison.Ordinal);
        Assert.Contains("up to 5 a second", notice, StringComparison.Ordinal);
        Assert.Contains("(cue \"storm\")", notice, StringComparison.Ordinal);
        Assert.Contains("local code", notice, StringComparison.Ordinal);
        Assert.DoesNotContain("is safe.", notice.Replace("nothing here says that anything is safe.", "", StringComparison.Ordinal), StringComparison.Ordinal);
    }

    // Every label of a page lies within it, and no two centred ones (the placed ones) lie on each other.
    [Fact]
    public void The_timeline_has_a_row_for_each_place_and_fixture_and_no_label_on_another()
    {
        var answer = Ask(Rig(Wall()), 6, 30, i => LevelsCapture.Even(510, i / 20 % 2 == 0 && i % 4 < 2 ? 255 : 0));
        var page = Assert.Single(FlashTimeline.Pages(answer));
        var texts = page.Shapes.Where(s => s.Text.Length > 0).ToList();
        Assert.Contains(texts, t => t.Text == "floor");
        Assert.Contains(texts, t => t.Text.StartsWith("wall, up to", StringComparison.Ordinal));
        Assert.Contains(texts, t => t.Text.Contains("/s, ", StringComparison.Ordinal));
        var boxes = texts.Select(t => (t.Text, Low: Corner(t, -1), High: Corner(t, 1))).ToList();
        Assert.All(boxes, b => Assert.True(b.Low.X >= 0 && b.Low.Y >= 0 && b.High.X <= page.Width && b.High.Y <= page.Height, b.Text));
        for (var i = 0; i < boxes.Count; i++)
        {
            for (var k = i + 1; k < boxes.Count; k++)
            {
                Assert.False(boxes[i].Low.X < boxes[k].High.X && boxes[k].Low.X < boxes[i].High.X && boxes[i].Low.Y < boxes[k].High.Y
                    && boxes[k].Low.Y < boxes[i].High.Y, $"{boxes[i].Text} lies on {boxes[k].Text}");
            }
        }
    }

    private static Vector2 Corner(Ground.Drawings.DrawnShape text, int side)
    {
        var width = Ground.Drawings.PageLabels.WidthOf(text.Text, text.TextSize);
        var middle = text.Points[0] + new Vector2(text.Centred ? 0 : width / 2, -text.TextSize * .36f);
        return middle + (side * new Vector2(width / 2, text.TextSize * .36f));
    }
}
