using StageView.Light.Moments;
using StageView.Live.Pictures;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.App.Tests.Live;

/// <summary>Whose light a picture of the drawing process gets.</summary>
public sealed class MattBesideTests
{
    [Fact]
    public void A_picture_at_rest_gets_its_own_moment_s_light_and_one_that_moves_the_newest_there_is()
    {
        using var one = new FullShow(RigFiles.Open(Repo.File("scenes", "one-mirror", "one-mirror.rig.jsonc")), null, ["1"]);
        var (lit, dark) = (one.Stage.MomentAt(TimeSpan.Zero), new Moment());
        var beside = new MattBeside(() => { });

        Assert.Null(beside.For(lit, wait: false));
        var atRest = beside.For(lit, wait: true)!;
        Assert.Equal(lit.Scenery.Length, atRest.Pieces);
        var moving = beside.For(dark, wait: false)!;
        Assert.Same(atRest, moving);
        Assert.Equal(0, beside.For(dark, wait: true)!.Pieces);
    }
}
