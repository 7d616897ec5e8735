using StageView.Light.Geometry;
using StageView.Rig.Pieces;
using StageView.Stage.Survey;

namespace StageView.Stage.Tests.Survey;

public sealed class WeakGeometryTests
{
    private static string? Why(IEnumerable<(Fixture Head, Vector3d Mark)> pairs)
    {
        var rays = SurveyRig.Exact(SurveyRig.Truth, pairs);
        return (WeakGeometry.Of(rays, null) ?? WeakGeometry.Of(rays, PoseSolver.Solve(rays, AngleSpread.Default)))?.Why;
    }

    private static IEnumerable<(Fixture Head, Vector3d Mark)> All(params Vector3d[] marks) => SurveyRig.Heads.SelectMany(h => marks.Select(m => (h, m)));

    [Fact]
    public void Heads_apart_and_marks_about_them_are_enough() => Assert.Null(Why(SurveyRig.Pairs));

    [Fact]
    public void Too_few_sightings() => Assert.Contains("it has 3 sightings", Why(SurveyRig.Pairs.Take(3)), StringComparison.Ordinal);

    [Fact]
    public void One_mark_and_two()
    {
        Assert.Contains("of one mark", Why(All(SurveyRig.Marks[0])), StringComparison.Ordinal);
        Assert.Contains("of two marks", Why(All(SurveyRig.Marks[0], SurveyRig.Marks[3])), StringComparison.Ordinal);
    }

    [Fact]
    public void Marks_on_one_line()
    {
        var why = Why(All(new(-3, 1, 0), new(-1, 1, 0), new(1, 1, 0), new(3, 1, 0)));
        Assert.Contains("within 0.00 m of one line, about which it could turn: its place stays open", why, StringComparison.Ordinal);
    }

    [Fact]
    public void Marks_nearly_on_one_line()
    {
        var why = Why(All(new(-3, 1, 0), new(-1, 1.05, 0), new(1, 1, 0), new(3, .95, 0)));
        Assert.Contains("of one line", why, StringComparison.Ordinal);
        Assert.Contains("its place would be known to", why, StringComparison.Ordinal);
    }

    [Fact]
    public void All_beams_in_one_direction()
    {
        var head = SurveyRig.Heads.Take(1);
        var why = Why(head.SelectMany(h => new Vector3d[] { new(-5, 12, 0), new(-4, 12, 0), new(-4.5, 13, 0), new(-4, 13, 0) }.Select(m => (h, m))));
        Assert.Contains("degrees of one direction", why, StringComparison.Ordinal);
    }

    [Fact]
    public void One_head_with_marks_all_about_it_can_do()
    {
        var why = Why(SurveyRig.Marks.Select(m => (SurveyRig.Heads[1], m)));
        Assert.True(why is null, why);
    }

    [Fact]
    public void Coarse_readings_are_refused_by_their_spread()
    {
        var rays = SurveyRig.Exact(SurveyRig.Truth, SurveyRig.Pairs);
        var weak = WeakGeometry.Of(rays, PoseSolver.Solve(rays, AngleSpread.OfDegrees(6, .1)))!;
        Assert.Contains("(one standard deviation)", weak.Why, StringComparison.Ordinal);
        Assert.Contains("add sightings", weak.Cure, StringComparison.Ordinal);
    }
}
