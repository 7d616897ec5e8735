using StageView.Stage.Changes;
using StageView.Stage.Tests.Levels;
using StageView.Wire.Universes;

namespace StageView.Stage.Tests.Changes;

/// <summary>Changes found in levels alone, on synthetic shows whose changes are known.</summary>
public sealed class ChangeFinderTests
{
    private const int Rate = 40;

    [Fact]
    public void A_fade_is_found_with_its_start_and_end()
    {
        var changes = Find(10, (t, c) => c < 6 ? Fade(t, 2, 1.5, 0, 200) : 0);
        var one = Assert.Single(changes);
        Assert.InRange(one.Start.TotalSeconds, 2.0, 2.05);
        Assert.InRange(one.Settled.TotalSeconds, 3.45, 3.55);
        Assert.False(one.IsFlash);
        Assert.Equal(6, one.Channels);
    }

    [Fact]
    public void Two_fades_are_two_and_delayed_parts_of_one_are_one()
    {
        var changes = Find(12, (t, c) => c switch
        {
            0 => Fade(t, 2, 1, 0, 200),
            1 => Fade(t, 2.3, 1, 0, 200),
            2 => Fade(t, 2.6, 1, 0, 200),
            3 => Fade(t, 6, 0.5, 0, 90),
            _ => 0,
        });
        Assert.Equal([3, 1], changes.Select(c => c.Channels));
        Assert.InRange(changes[0].Settled.TotalSeconds, 3.5, 3.7);
    }

    [Fact]
    public void A_flash_is_kept_at_its_height()
    {
        var changes = Find(8, (t, c) => c < 6 && t is >= 3 and < 3.2 ? 255 : 10);
        var flash = Assert.Single(changes);
        Assert.True(flash.IsFlash);
        Assert.InRange(flash.Peak.TotalSeconds, 3.0, 3.19);
        var moments = MomentFinder.Choose(changes, TimeSpan.FromSeconds(8));
        Assert.Equal([(0, "settled"), (1, "flash"), (1, "settled")], moments.Select(m => (m.Change?.Number ?? 0, m.Part)));
    }

    [Fact]
    public void A_chase_is_one_change_and_a_cue_over_it_another()
    {
        var changes = Find(12, (t, c) => c switch
        {
            < 3 when t >= 2 => (int)(127 + (120 * Math.Sin((t - 2 + c) * 4))),
            3 => Fade(t, 6, 1, 0, 255),
            _ => 127,
        });
        Assert.Equal(2, changes.Count);
        Assert.InRange(changes[1].Start.TotalSeconds, 6.0, 6.05);
        Assert.InRange(changes[1].Settled.TotalSeconds, 6.9, 7.05);
    }

    [Fact]
    public void What_is_there_at_the_start_is_no_change()
    {
        Assert.Empty(Find(5, (_, c) => 40 * c));
        Assert.Empty(MomentFinder.Choose([], TimeSpan.FromSeconds(5)));
    }

    [Fact]
    public void The_same_cue_at_another_time_has_the_same_digest_and_another_cue_another()
    {
        var early = Find(10, (t, c) => c < 6 ? Fade(t, 2, 1.5, 0, 200) : 0)[0].Look;
        Assert.Equal(early, Find(10, (t, c) => c < 6 ? Fade(t, 3.3, 0.5, 0, 200) : 0)[0].Look);
        Assert.NotEqual(early, Find(10, (t, c) => c < 6 ? Fade(t, 2, 1.5, 0, 201) : 0)[0].Look);
    }

    [Fact]
    public void A_wall_that_lights_turns_or_goes_dark_is_a_change_and_content_running_over_it_is_none()
    {
        // 100 pixels: dark to 2 s, then a bar of 20 white pixels runs along for 4 s, then all red over half a second, then dark at 9 s.
        var changes = Wall(12, (t, pixel, colour) => t switch
        {
            < 2 or >= 9 => 0,
            < 6 => (pixel + (int)(t * 15)) % 100 < 20 ? 250 : 0,
            _ => colour == 0 ? Math.Max(Fade(t, 6, 0.5, 0, 220), 0) : 0,
        });
        Assert.Equal(3, changes.Count);
        Assert.InRange(changes[0].Start.TotalSeconds, 2.0, 2.06);
        Assert.InRange(changes[0].Settled.TotalSeconds, 2.0, 2.1);
        Assert.InRange(changes[1].Start.TotalSeconds, 6.0, 6.1);
        Assert.InRange(changes[1].Settled.TotalSeconds, 6.3, 6.55);
        Assert.InRange(changes[2].Start.TotalSeconds, 9.0, 9.06);
        Assert.All(changes, c => Assert.False(c.IsFlash));
    }

    [Fact]
    public void A_flash_of_a_wall_is_kept_at_its_height()
    {
        var flash = Assert.Single(Wall(8, (t, _, _) => t is >= 3 and < 3.2 ? 255 : 10));
        Assert.True(flash.IsFlash);
        Assert.InRange(flash.Peak.TotalSeconds, 3.0, 3.19);
    }

    private static IReadOnlyList<FoundChange> Wall(double seconds, Func<double, int, int, int> level)
    {
        var finder = new ChangeFinder(TestRig.Scene(PixelTests.Wall(100, 1, "RGB", 1, splits: true)));
        for (var tick = 0; tick <= seconds * Rate; tick++)
        {
            var levels = new byte[512];
            for (var i = 0; i < 300; i++)
            {
                levels[i] = (byte)level(tick / (double)Rate, i / 3, i % 3);
            }

            finder.OnLevels(new UniverseNumber(1), TimeSpan.FromSeconds(tick / (double)Rate), levels);
        }

        return finder.Finish();
    }

    [Fact]
    public void The_best_match_finds_a_delay()
    {
        var rig = TestRig.Scene(TestRig.Head());
        var (a, b) = (new BestMatch(rig), new BestMatch(rig));
        Play(a, 20, Show);
        Play(b, 24, (t, c) => Show(t - 2.7, c));
        Assert.Equal(2.7, a.DelayOf(b), 0.11);
        Assert.Equal(-2.7, b.DelayOf(a), 0.11);

        static int Show(double t, int c) => Fade(t, 1 + c, 0.5, 0, 200) - Fade(t, 6 + (1.7 * c), 0.3, 0, 150);
    }

    [Fact]
    public void Times_map_by_the_pair_before()
    {
        var map = TimeMap.FromPairs([(2, 2), (10, 10.5), (20, 20.5), (30, 29)]);
        Assert.Equal(5, map.ToSecond(5), 3);
        Assert.Equal(15.5, map.ToSecond(15), 3);
        Assert.Equal(30, map.ToSecond(31), 3);
        Assert.Equal(3, map.Pieces);
    }

    /// <summary>A clock that runs a thousandth fast is followed between its labels; a jump is none of it.</summary>
    [Fact]
    public void A_drift_is_followed_and_a_jump_is_not_smoothed()
    {
        var map = TimeMap.Drifting(Enumerable.Range(0, 100).Select(i => ((double)i, i * 1.001)).Append((100, 130)));
        Assert.Equal(50.5 * 1.001, map.ToSecond(50.5), 6);
        Assert.Equal(99.9 + 0.099, map.ToSecond(99.9), 6);
        Assert.Equal(131, map.ToSecond(101), 6);
        Assert.Equal(0.099, map.Drift, 6);
        Assert.Equal(2, map.Pieces);
    }

    private static int Fade(double t, double start, double seconds, int from, int to) =>
        (int)Math.Round(from + ((to - from) * Math.Clamp((t - start) / seconds, 0, 1)));

    private static IReadOnlyList<FoundChange> Find(double seconds, Func<double, int, int> level)
    {
        var finder = new ChangeFinder(TestRig.Scene(TestRig.Head()));
        Play(finder, seconds, level);
        return finder.Finish();
    }

    private static void Play(ILevelsSink sink, double seconds, Func<double, int, int> level)
    {
        var levels = new byte[512];
        var last = new byte[512];
        for (var tick = 0; tick <= seconds * Rate; tick++)
        {
            var t = tick / (double)Rate;
            for (var c = 0; c < 6; c++)
            {
                levels[c] = (byte)level(t, c);
            }

            if (tick == 0 || !levels.AsSpan().SequenceEqual(last))
            {
                sink.OnLevels(new UniverseNumber(1), TimeSpan.FromSeconds(t), levels);
                levels.CopyTo(last, 0);
            }
        }
    }
}
