using System.Numerics;
using StageView.Show.Frames;
using StageView.Show.Rigs;
using StageView.Stage;

namespace StageView.Show.Tests.Frames;

/// <summary>What labels on a picture say of a fixture and where they point.</summary>
public sealed class AidFixturesTests : IDisposable
{
    private readonly TempFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void A_run_of_pixels_over_a_universes_end_is_told_with_both_universes()
    {
        // A tube takes 120 addresses: from 450 on they reach into the next universe, from 393 on they just don't.
        var rig = RigFiles.Open(_folder.File("tubes.rig.jsonc", $$"""
            {
              "name": "tubes", "profiles": ["{{Repo.File("assets", "fixtures").Replace('\\', '/')}}"],
              "hangs": [
                { "name": "over", "profile": "pixel-tube", "patch": "3.450" },
                { "name": "within", "profile": "pixel-tube", "patch": "5.393" },
                { "name": "nowhere", "profile": "pixel-tube" }
              ]
            }
            """));
        Assert.Equal(
            [[3, 4], [5], []],
            AidFixtures.Of(rig, new StageModel(rig).MomentAt(TimeSpan.Zero)).Select(f => f.Universes));
    }

    [Fact]
    public void A_dark_fixture_that_another_carries_is_pointed_at_where_the_carrying_part_rests()
    {
        _folder.File("lift.fixture.jsonc", """
            { "name": "Lift", "geometry": [{ "name": "frame", "parts": [{ "name": "carriage", "at": [0, 0, -2] }] }],
              "modes": [{ "name": "m", "channels": [] }] }
            """);
        var rig = RigFiles.Open(_folder.File("lift.rig.jsonc", $$"""
            {
              "name": "lift", "profiles": ["{{Repo.File("assets", "fixtures").Replace('\\', '/')}}", "."],
              "hangs": [
                { "name": "lift", "profile": "lift", "at": [1, 3, 8] },
                { "name": "rider", "profile": "front-profile", "at": [0, 0, -0.5], "carriedBy": { "fixture": "lift", "part": "carriage" } }
              ]
            }
            """));
        Assert.Equal(new Vector3(1, 3, 5.5f), AidFixtures.Of(rig, new StageModel(rig).MomentAt(TimeSpan.Zero))[1].Point);
    }
}
