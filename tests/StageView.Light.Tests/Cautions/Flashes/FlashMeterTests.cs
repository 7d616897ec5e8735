using System.Numerics;
using StageView.Light.Cautions.Flashes;
using StageView.Light.Cautions.Limits;

namespace StageView.Light.Tests.Cautions.Flashes;

/// <summary>
/// Cases worked by hand from the words of WCAG 2.2 (general flash and red flash thresholds) and ITU-R BT.1702: three flashes a second pass and four fail,
/// 10 % of white or 20 cd/m², darker state below .80 or 160 cd/m², .006 sr within 10° or 25 % of the picture.
/// </summary>
public sealed class FlashMeterTests
{
    private static readonly FlashRule Wcag = FlashRule.Wcag(CautionLimits.Default);
    private static readonly FlashRule Broadcast = FlashRule.Broadcast(CautionLimits.Default);
    private static readonly Vector3 White = Vector3.One;

    /// <summary>Feeds ten seconds of a picture of 8 × 8 cells, 100 times a second.</summary>
    private static FlashMeter Fed(FlashRule rule, Func<double, int, Vector3> light, double seconds = 10, double step = 0.01)
    {
        var meter = new FlashMeter(FieldGrid.Picture(8, 8), rule);
        var cells = new Vector3[64];
        for (var k = 0; k * step < seconds; k++)
        {
            for (var c = 0; c < 64; c++)
            {
                cells[c] = light(k * step, c);
            }

            meter.Add(k * step, cells);
        }

        return meter;
    }

    private static bool On(double t, double hertz, double duty = 0.5) => (t * hertz) - Math.Floor((t * hertz) + 1e-9) < duty - 1e-9;

    private static Func<double, int, Vector3> Square(double hertz, float low, float high, double duty = 0.5) => (t, _) =>
        White * (On(t, hertz, duty) ? high : low);

    [Theory]
    [InlineData(3, 3, false)]
    [InlineData(4, 4, true)]
    [InlineData(15, 15, true)]
    public void Three_flashes_a_second_pass_and_four_do_not(double hertz, int most, bool listed)
    {
        foreach (var rule in new[] { Wcag, Broadcast })
        {
            var meter = Fed(rule, Square(hertz, 0, 100));
            Assert.InRange(meter.MostFlashes(FlashKind.General), most, most + 1);
            Assert.Equal(listed, meter.Spells.Count > 0);
            Assert.Equal(0, meter.MostFlashes(FlashKind.Red));
        }
    }

    // On, off, on, off, on, off, on within a second and no more: three pairs of changes and a half.
    [Fact]
    public void Three_flashes_and_a_half_pass() =>
        Assert.Equal(3, Fed(Wcag, (t, _) =>
            White * (t is >= .2 and < .3 or >= .4 and < .5 or >= .6 and < .7 or >= .8 ? 150 : 0)).MostFlashes(FlashKind.General));

    [Fact]
    public void Short_flashes_three_times_a_second_pass() => Assert.Empty(Fed(Wcag, Square(3, 0, 180, 0.06)).Spells);

    // BT.1702: 20 cd/m² or more; WCAG: 10 % or more of the maximum.
    [Theory]
    [InlineData(100, 120, true)]
    [InlineData(100, 119.9f, false)]
    [InlineData(0, 20, true)]
    [InlineData(0, 19.9f, false)]
    public void A_change_just_large_enough_and_one_just_below(float low, float high, bool listed)
    {
        Assert.Equal(listed, Fed(Broadcast, Square(5, low, high)).Spells.Count > 0);
        Assert.Equal(listed, Fed(Wcag, Square(5, low, high)).Spells.Count > 0);
    }

    // The darker image below 160 cd/m², .80 of white.
    [Theory]
    [InlineData(159.9f, 400, true)]
    [InlineData(160, 400, false)]
    public void The_darker_state_just_below_its_limit_and_just_on_it(float low, float high, bool listed)
    {
        Assert.Equal(listed, Fed(Broadcast, Square(6, low, high)).Spells.Count > 0);
        Assert.Equal(listed, Fed(Wcag, Square(6, low, high)).Spells.Count > 0);
    }

    // BT.1702: more than 25 % of the picture: 16 of 64 cells are 25 %.
    [Theory]
    [InlineData(16, false)]
    [InlineData(17, true)]
    public void A_quarter_of_the_picture_passes_and_more_does_not(int cells, bool listed)
    {
        var meter = Fed(Broadcast, (t, c) => White * (c < cells && On(t, 8) ? 150 : 0));
        Assert.Equal(listed, meter.Spells.Count > 0);
        Assert.All(meter.Spells, s => Rooms.Near(cells / 64.0, s.AreaShare, 1e-4));
    }

    // WCAG: no more than .006 sr within any 10°. Cells of 1° × 1° are .000305 sr at the horizon: 19 are .0058 sr, 20 are .0061 sr.
    [Theory]
    [InlineData(19, 0, false)]
    [InlineData(20, 0, true)]
    [InlineData(19, 19, false)]
    public void Small_areas_add_up_within_ten_degrees_only(int cells, int elsewhere, bool listed)
    {
        var grid = FieldGrid.Eye(60, 30, 1, 10);
        // A patch of 5 × 4 cells, and another one 30° away.
        bool Lit(int c, int from, int n) => c / 60 is >= 13 and < 17 && c % 60 >= from && c % 60 < from + 5 && (((c / 60) - 13) * 5) + (c % 60) - from < n;
        var meter = new FlashMeter(grid, Wcag);
        var field = new Vector3[grid.Cells];
        for (var k = 0; k < 300; k++)
        {
            for (var c = 0; c < field.Length; c++)
            {
                field[c] = White * ((Lit(c, 10, cells) || Lit(c, 40, elsewhere)) && On(k * 0.01, 10) ? 300 : 0);
            }

            meter.Add(k * 0.01, field);
        }

        Assert.Equal(listed, meter.Spells.Count > 0);
    }

    // Saturated red: R/(R+G+B) of .8 or more and (R - G - B) × 320 changing by more than 20, that is by 1/16 of white: 12.5 cd/m² of the red channel's 200.
    [Theory]
    [InlineData(12.4f, 0, false)]
    [InlineData(12.6f, 0, true)]
    [InlineData(100, 24.9f, true)]
    [InlineData(100, 25.1f, false)]
    public void Red_flashes_by_saturation_and_change(float red, float green, bool listed)
    {
        var meter = Fed(Wcag, (t, _) => On(t, 5) ? new Vector3(red, green, 0) : Vector3.Zero);
        Assert.Equal(listed, meter.Spells.Any(s => s.Kind == FlashKind.Red));
    }

    [Fact]
    public void Red_against_blue_of_the_same_luminance_counts_as_red_alone()
    {
        // .2126·80 = .0722·235.6: no change of luminance at all.
        var meter = Fed(Broadcast, (t, _) => On(t, 6) ? new Vector3(80, 0, 0) : new Vector3(0, 0, 80 * 0.2126f / 0.0722f));
        Assert.Equal(0, meter.MostFlashes(FlashKind.General));
        Assert.All(meter.Spells, s => Assert.Equal(FlashKind.Red, s.Kind));
        Assert.NotEmpty(meter.Spells);
    }

    [Fact]
    public void A_wall_at_fifteen_hertz_for_two_seconds_is_one_spell()
    {
        var meter = Fed(Wcag, (t, _) => White * (t is >= 3 and < 5 && On(t, 15) ? 1000 : 1));
        var spell = Assert.Single(meter.Spells);
        Assert.Equal(3, spell.From, 0.02);
        Assert.Equal(5, spell.To, 0.1 + 1);
        Assert.InRange(spell.Flashes, 14, 16);
        Assert.Equal(1, spell.AreaShare, 1e-4);
        Assert.True(meter.Series(FlashKind.General).Points.Max(p => p.Largest) is >= 14 and <= 16);
    }

    // Four steps a second over four quarters-and-a-bit of the field: each place flashes once a second, yet the field as a whole four times.
    [Theory]
    [InlineData(4, true)]
    [InlineData(3, false)]
    public void A_chase_over_a_wall_counts_by_its_steps(int steps, bool listed)
    {
        var meter = Fed(Wcag, (t, c) => White * ((int)Math.Floor((t * steps) + 1e-9) % 3 == c % 3 ? 120 : 0));
        Assert.Equal(listed, meter.Spells.Count > 0);
    }

    [Fact]
    public void A_slow_fade_is_none()
    {
        var meter = Fed(Wcag, (t, _) => White * (float)(100 - (100 * Math.Cos(t * Math.Tau / 5))), 20);
        Assert.InRange(meter.MostFlashes(FlashKind.General), 0, 1);
        Assert.Empty(meter.Spells);
    }

    [Fact]
    public void Jitter_in_time_and_level_changes_nothing()
    {
        var random = new Random(8);
        var noise = Enumerable.Range(0, 64).Select(_ => random.NextDouble() * 0.02).ToArray();
        // Each cell up to 20 ms late, on 5 cd/m² of noise.
        Vector3 At(double hertz, double t, int c) => White * (float)((On(Math.Max(0, t - noise[c]), hertz) ? 90 : 20) + (5 * random.NextDouble()));
        Assert.Equal(3, Fed(Broadcast, (t, c) => At(3, t, c)).MostFlashes(FlashKind.General));
        Assert.NotEmpty(Fed(Broadcast, (t, c) => At(5, t, c)).Spells);
        Assert.Empty(Fed(Broadcast, (_, _) => White * (float)(100 + (19 * random.NextDouble()))).Spells);
    }

    [Fact]
    public void Uneven_times_are_read_as_they_come_and_backward_ones_refused()
    {
        var meter = new FlashMeter(FieldGrid.Picture(1, 1), Wcag);
        var (t, random) = (0.0, new Random(3));
        for (var k = 0; k < 400; k++)
        {
            meter.Add(t, [White * (On(t, 6) ? 100 : 0)]);
            t += 0.005 + (0.02 * random.NextDouble());
        }

        Assert.InRange(meter.MostFlashes(FlashKind.General), 6, 7);
        Assert.Throws<ArgumentException>(() => meter.Add(0, [White]));
        Assert.Throws<ArgumentException>(() => meter.Add(1e6, [White, White]));
    }

    [Fact]
    public void Memory_stays_the_same_however_long_it_runs()
    {
        var meter = new FlashMeter(FieldGrid.Picture(2, 2), Wcag);
        // A thousand bursts of six flashes, ten seconds apart: all counted, some kept.
        for (var burst = 0; burst < 1000; burst++)
        {
            for (var k = 0; k < 20; k++)
            {
                var on = White * (k % 2 == 0 && k < 12 ? 100 + burst : 0);
                meter.Add((burst * 10) + (k * 0.05), [on, on, on, on]);
            }
        }

        Assert.Equal(1000, meter.SpellCount);
        Assert.Equal(FlashMeter.MostSpells, meter.Spells.Count);
        Assert.InRange(meter.Series(FlashKind.General).Points.Count, 100, 1024);
    }

    // Ten degrees across are 2π(1 - cos 5°) = .0239 sr, a quarter of it .006 sr as WCAG rounds it.
    [Fact]
    public void A_field_of_ten_degrees_has_the_solid_angle_the_rule_names()
    {
        var grid = FieldGrid.Eye(90, 60, 1, 10);
        Rooms.Near(0.006, grid.DiscArea / 4, 0.005);
        // The whole field: 90° of azimuth, elevation ±30°: π/2 · 2 sin 30°.
        var sum = 0.0;
        foreach (var area in grid.Areas)
        {
            sum += area;
        }

        Rooms.Near(Math.PI / 2, sum, 1e-4);
        for (var c = 0; c < grid.Cells; c += 7)
        {
            Assert.Equal(c, grid.CellOf(grid.Directions[c]));
        }

        Assert.Equal(-1, grid.CellOf(-Vector3.UnitZ));
        Assert.Equal(-1, grid.CellOf(Vector3.Normalize(new Vector3(0, 1, 1))));
        Assert.Throws<ArgumentException>(() => FieldGrid.Eye(80, 60, 5, 10));
    }

    [Fact]
    public void The_two_rules_agree_at_two_hundred_candela_of_white()
    {
        Assert.True(Wcag.Agrees(Broadcast));
        Assert.False(FlashRule.Wcag(new CautionLimits { WhiteCandela = 100 }).Agrees(Broadcast));
    }
}
