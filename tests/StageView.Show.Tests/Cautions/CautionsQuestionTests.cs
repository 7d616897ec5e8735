using StageView.Light.Cautions;
using StageView.Light.Cautions.Limits;
using StageView.Rig.Pieces;
using StageView.Show.Cautions;
using StageView.Show.Rigs;
using StageView.Stage;
using StageView.Wire.Universes;

namespace StageView.Show.Tests.Cautions;

/// <summary>Reasons to look, from rig files and levels to rows.</summary>
public sealed class CautionsQuestionTests : IDisposable
{
    private const string Stalls = """, "volumes": [{ "name": "stalls", "kind": "audience", "at": [0, -6, 1], "size": [8, 6, 2] }]""";
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private RigScene Rig(string hangs, string more = Stalls) => RigFiles.Open(_folder.File("a.rig.jsonc", $$"""
        {
          "name": "a", "profiles": ["{{Repo.File("assets", "fixtures").Replace('\\', '/')}}"], "bounces": 1,
          "hangs": [{{hangs}}],
          "scenery": [{ "name": "floor", "shape": "plane", "size": [60, 60, 1] }]
          {{more}}
        }
        """));

    /// <summary>Levels every 1/40 s, as a desk sends them, looked at twice a second.</summary>
    private static CautionsAnswer Ask(RigScene rig, double seconds, Action<double, byte[]> set, CautionLimits? limits = null)
    {
        var stage = new StageModel(rig);
        var search = new CautionsQuestion(rig, limits);
        var levels = new byte[512];
        var sent = 0;
        for (var t = 0.0; t <= seconds; t += CautionsQuestion.FollowSeconds)
        {
            for (; sent / 40.0 <= t; sent++)
            {
                set(sent / 40.0, levels);
                stage.OnLevels(new UniverseNumber(1), TimeSpan.FromSeconds(sent / 40.0), levels);
            }

            search.Follow(stage, TimeSpan.FromSeconds(t));
            if (Math.Abs((t * 2) - Math.Round(t * 2)) < 1e-6)
            {
                search.Look(stage, TimeSpan.FromSeconds(t));
            }
        }

        return search.Answer();
    }

    private const string Wall = """{ "name": "wall", "profile": "wall-facet", "at": [0, -1, 2], "aim": [0, -6, 2], "patch": "1.1" }""";

    // A Lambertian wall of 900 cd/m2 and 2.4 m2, .72 filled each way, gives some 900·2.4·.52/d² from all round: above 1,000 lx a metre off.
    [Fact]
    public void A_wall_of_pixels_lights_people_steady_and_flashing()
    {
        var limits = CautionLimits.Default with { LeastLux = 50 };
        var steady = Ask(Rig(Wall), 2, (_, levels) => Array.Fill(levels, (byte)255), limits);
        var found = Assert.Single(steady.Light, f => f.Worst.Kind == CautionKind.Surface);
        Assert.InRange(found.Worst.AllRoundLux, 100, 400);
        Assert.Empty(steady.Strobes);
        Assert.True(steady.Any);

        // On for one packet of four: ten flashes a second.
        var flashing = Ask(Rig(Wall), 3, (t, levels) => Array.Fill(levels, (byte)((int)Math.Round(t * 40) % 4 == 0 ? 255 : 0)), limits);
        var strobe = Assert.Single(flashing.Strobes);
        Assert.Equal(("wall", ""), (strobe.Fixture, strobe.By));
        Assert.InRange(strobe.Rate, 9, 11);
    }

    // Twelve cells of one batten into one volume are one line, told with their number.
    [Fact]
    public void Many_emitters_of_a_fixture_are_one_row()
    {
        const string batten = """{ "name": "batten", "profile": "cell-batten", "at": [0, 0, 3], "aim": [0, -6, 1], "patch": "1.1" }""";
        var rig = Rig(batten);
        var answer = Ask(rig, 0.5, (_, levels) =>
        {
            Array.Fill(levels, (byte)255);
            (levels[0], levels[1]) = (128, 0);
        });
        var found = Assert.Single(answer.Light, f => f.Worst.Kind == CautionKind.Beam);
        Assert.Equal(12, found.Emitters);
        Assert.StartsWith("batten (12 emitters) shines into stalls", CautionWords.Of(rig, answer)[0].Text, StringComparison.Ordinal);
    }

    private static readonly string Spot = """{ "name": "spot", "profile": "spot-head", "at": [0, 6, 6], "aim": [0, 3, 0], "patch": "1.1" }""";

    [Theory]
    [InlineData(8, true)]
    [InlineData(3, false)]
    public void A_chase_by_the_dimmer_is_a_strobe_once_it_is_fast(double rate, bool listed)
    {
        var answer = Ask(Rig(Spot), 4, (t, levels) =>
        {
            (levels[0], levels[2]) = (128, 128);
            levels[4] = (byte)(t * rate % 1 < 0.5 ? 255 : 0);
            levels[6] = 40;
        });
        Assert.Equal(listed ? 1 : 0, answer.Strobes.Count);
    }

    [Fact]
    public void A_slow_fade_is_none()
    {
        var answer = Ask(Rig(Spot), 5, (t, levels) => (levels[0], levels[2], levels[4], levels[6]) = (128, 128, (byte)(255 * t / 5), 40));
        Assert.Empty(answer.Strobes);
    }

    // The same shutter channel, once with light behind it and once without.
    [Theory]
    [InlineData(255, 1)]
    [InlineData(0, 0)]
    public void A_shutter_that_strobes_in_the_dark_is_not_listed(byte dimmer, int listed)
    {
        const string batten = """{ "name": "batten", "profile": "cell-batten", "at": [0, 6, 6], "aim": [0, 3, 0], "patch": "1.1" }""";
        var answer = Ask(Rig(batten), 3, (_, levels) =>
        {
            Array.Fill(levels, (byte)255);
            (levels[0], levels[2], levels[3]) = (128, dimmer, 239);
        });
        Assert.Equal(listed, answer.Strobes.Count);
        Assert.All(answer.Strobes, s => Assert.Equal((22, "bar_Shutter1"), (Math.Round(s.Rate), s.By)));
    }

    private const string Globes = """
        { "name": "near", "profile": "winch-globe", "at": [0, -6, 9], "patch": "1.1" },
        { "name": "far", "profile": "winch-globe", "at": [0.8, -6, 9], "patch": "1.11" },
        { "name": "away", "profile": "winch-globe", "at": [0, 8, 9], "patch": "1.21" }
        """;

    // 6.5 m of travel at .75 m/s: what it is first told is where it is; then it goes down to 9 - .55 - 6.5 = 1.95 m less its radius of .2 m, inside the box
    // that reaches up to 2 m.
    [Fact]
    public void A_winch_over_people_is_told_with_its_speed_and_how_near_it_came()
    {
        var answer = Ask(Rig(Globes), 12, (t, levels) => levels[0] = (byte)(t < 1 ? 128 : 255));
        var over = Assert.Single(answer.Moving, m => m.IsVolume);
        Assert.Equal(("near", "stalls", true), (over.Piece, over.Beside, over.IsOver));
        Assert.InRange(over.MetresPerSecond, 0.7, 0.8);
        Assert.InRange(over.Metres, 0, 0.3);
        Assert.InRange(over.From, 0.9, 1.5);
        Assert.Equal("near", Assert.Single(answer.Speeds).Piece);

        // At rest it passed .8 m from the other: beyond half a metre that is nothing, within one metre it is.
        Assert.DoesNotContain(answer.Moving, m => !m.IsVolume);
        var wide = Ask(Rig(Globes), 3, (t, levels) => levels[0] = (byte)(t < 1 ? 0 : 255), CautionLimits.Default with { ClearanceMetres = 1 });
        var pair = Assert.Single(wide.Moving, m => !m.IsVolume);
        Assert.Equal(("near", "far"), (pair.Piece, pair.Beside));
        Assert.InRange(pair.Metres, 0.5, 0.8);
        Assert.Equal(pair, wide.Closest);
    }

    // Three heads hang over people and turn: one row. Their clearances are their own space.
    [Fact]
    public void Heads_that_turn_over_people_are_one_row()
    {
        const string heads = """{ "name": "head", "profile": "spot-head", "row": { "from": [-2, -6, 6], "to": [2, -6, 6], "count": 3 }, "patch": "1.1" }""";
        var answer = Ask(Rig(heads), 4, (t, levels) => levels[0] = levels[22] = levels[44] = (byte)(t < 1 ? 100 : 160));
        var row = Assert.Single(answer.Moving);
        Assert.Equal((3, "stalls", true), (row.Count, row.Beside, row.IsOver));
        Assert.InRange(row.Metres, 2.8, 4);
        Assert.Empty(answer.Speeds);
    }

    [Fact]
    public void A_rig_without_volumes_says_that_and_never_that_nothing_was_found()
    {
        var rig = Rig(Spot, "");
        var answer = Ask(rig, 1, (_, _) => { });
        Assert.False(answer.AnythingChecked);
        Assert.Contains("could not be checked", CautionWords.NothingChecked(rig, answer), StringComparison.Ordinal);
        Assert.Contains(answer.NotChecked, n => n.Why == "the rig names no volumes");
    }

    [Fact]
    public void Limits_of_the_rig_file_decide_and_stand_beside_the_answer()
    {
        var rig = Rig(Wall, Stalls + """, "limits": { "least": 50, "strobe": 30 }""");
        Assert.Equal((50, 30, 3), (rig.Limits.LeastLux, rig.Limits.StrobeRate, rig.Limits.LaserHeightMetres));
        var answer = Ask(rig, 2, (t, levels) => Array.Fill(levels, (byte)((int)Math.Round(t * 40) % 4 == 0 ? 255 : 0)));
        Assert.Contains(answer.Light, f => f.Worst.Kind == CautionKind.Surface);
        Assert.Empty(answer.Strobes);
        Assert.Contains(CautionWords.Looked(answer), l => l.Contains("least 50 lx", StringComparison.Ordinal));
        var wrong = Assert.Throws<StopException>(() => Rig(Wall, """, "limits": { "field": 90 }"""));
        Assert.Contains("$.limits.field", wrong.Message, StringComparison.Ordinal);
    }
}
