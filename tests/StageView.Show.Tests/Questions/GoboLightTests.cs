using StageView.Light.Beams;
using StageView.Show.Rigs;
using StageView.Show.Sources;

namespace StageView.Show.Tests.Questions;

/// <summary>What a gobo leaves of the light, from the profile to the beam.</summary>
public sealed class GoboLightTests
{
    // The judge is the picture's own mean: of an evenly lit gate that share passes. The beam is a little brighter in its middle than at its rim.
    [Theory]
    [InlineData("Dots")]
    [InlineData("Rays")]
    public void A_gobo_takes_its_share_once(string gobo)
    {
        using var folder = new TempFolder();
        var rig = RigFiles.Open(Repo.File("scenes", "foundry", "foundry.rig.jsonc"));
        double Passing(string more)
        {
            using var look = new LookShow(rig, folder.File("a.look.jsonc",
                $$"""{ "set": [{ "fixtures": "113", "dimmer": 1, "zoom": 20, "aim": [0, 3, 0]{{more}} }] }"""));
            var moment = look.Stage.MomentAt(TimeSpan.Zero, default, 0);
            Assert.Equal(1, moment.Beams.Length);
            return BeamFlux.Passing(moment, moment.Beams.Span[0]);
        }

        var mean = rig.GoboImages.First(i => string.Equals(i.Name, gobo, StringComparison.OrdinalIgnoreCase)).Transmission;
        Assert.InRange(mean, .05f, .9f);
        Assert.Equal(mean, Passing($", \"gobo\": \"{gobo}\"") / Passing(""), .12 * mean);
    }
}
