using System.Numerics;
using StageView.Light.Measure;
using StageView.Light.Rays;
using StageView.Show.Questions;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Show.Tests.Questions;

/// <summary>What is asked for at a point is what is told there.</summary>
public sealed class LuxMeasureTests
{
    private const string Point = "0,1.6,1.5";

    [Fact]
    public void A_point_is_measured_as_asked_and_scenery_only_on_its_faces()
    {
        var rig = RigFiles.Open(Repo.File("scenes", "foundry", "foundry.rig.jsonc"));
        using var show = new FullShow(rig, null, ["fronts"]);
        var moment = show.Stage.MomentAt(TimeSpan.Zero);
        var meter = new LightMeter(moment, OcclusionScene.From(moment));
        var at = new Vector3(0, 1.6f, 1.5f);
        Assert.Equal(meter.SemiCylindrical(at, -Vector3.UnitY).Lux, Ask("semicylindrical:0,-1", Point).Points[0].Lux.Asked!.Value, .01f);
        Assert.Equal(meter.At(at, -Vector3.UnitY).Lux, Ask("vertical:0,-1", Point).Points[0].Lux.Asked!.Value, .01f);
        Assert.Null(Ask("plane", Point).Points[0].Lux.Asked);
        Assert.Contains("on its own faces", Assert.Throws<StopException>(() => Ask("cylindrical", "scenery:deck")).Message, StringComparison.Ordinal);

        LuxAnswer Ask(string measure, string on) => LuxQuestion.Answer(rig, moment, new LuxAsked([on], measure, false, null, null, null) { Indirect = false });
    }
}
