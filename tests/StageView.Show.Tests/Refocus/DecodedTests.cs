using System.Numerics;
using StageView.Light.Geometry;
using StageView.Show.Refocus;
using StageView.Stage.Heads;

namespace StageView.Show.Tests.Refocus;

/// <summary>The demo rig two cities on: what its levels say when they are heard.</summary>
public sealed class DecodedTests
{
    [Fact]
    public void Levels_that_are_heard_put_each_axis_on_its_anchor_within_a_step()
    {
        var (_, rig, answer) = new RefocusRequest
        {
            RigFile = Repo.File("scenes", "foundry", "foundry.rig.jsonc"), Venue = Repo.File("scenes", "foundry", "two-cities-on.venue.jsonc"),
            Capture = Repo.File("scenes", "foundry", "foundry.pcapng"),
        }.Work();
        var asked = 0;
        foreach (var look in answer.Rows.Where(r => r.NewPan is not null && r.State != RefocusState.Kept).GroupBy(r => r.Position))
        {
            var stage = SmallVenue.Decoded(rig, look.SelectMany(r => r.Channels));
            foreach (var row in look)
            {
                var fixture = rig.Fixtures.Single(f => f.Name == row.Fixture);
                var (pan, p) = Heard("Pan", row.NewPan!.Value);
                var (tilt, t) = Heard("Tilt", row.NewTilt!.Value);
                if (row.Anchor.Via.Count > 0 || row.At is not { } at || fixture.Carrier is not null)
                {
                    continue;
                }

                asked++;
                var (lens, axis) = PanTilt.Beam(fixture, pan, tilt)!.Value;
                var off = Angles.Degrees(MathF.Asin(MathF.Min(1, Vector3.Cross(axis, Vector3.Normalize(at - lens)).Length())));
                Assert.InRange(off, 0, Math.Sqrt((p * p) + (t * t)));

                // What an axis stands at, and its step, degrees; a batten has no pan.
                (double At, double Step) Heard(string attribute, double wanted)
                {
                    if (row.Channels.All(c => c.Attribute != attribute))
                    {
                        return (wanted, 0);
                    }

                    var step = fixture.Mode.Channels.SelectMany(c => c.Functions).Where(f => f.Attribute == attribute)
                        .Select(f => Math.Abs(f.PhysicalTo - f.PhysicalFrom) / (double)(f.DmxTo - f.DmxFrom)).Min();
                    var at = SmallVenue.Axis(stage, fixture.Index, attribute);
                    Assert.InRange(Math.Abs(at - wanted), 0, step);
                    return (at, step);
                }
            }
        }

        Assert.True(asked > 20, $"{asked}");
    }

    // The bytes that the console sent: what they decode to again is the same number to its last bit.
    [Fact]
    public void The_same_venue_gets_the_levels_that_the_console_sent()
    {
        using var folder = new TempFolder();
        var (_, rig, answer) = new RefocusRequest
        {
            RigFile = Repo.File("scenes", "foundry", "foundry.rig.jsonc"), Venue = folder.File("same.venue.jsonc", """{ "name": "The same" }"""),
            Capture = Repo.File("scenes", "foundry", "foundry.pcapng"),
        }.Work();
        Assert.Empty(answer.Winches);
        Assert.Empty(answer.Mirrors);
        foreach (var look in answer.Rows.GroupBy(r => r.Position))
        {
            var stage = SmallVenue.Decoded(rig, look.SelectMany(r => r.Channels));
            foreach (var row in look)
            {
                var fixture = rig.Fixtures.Single(f => f.Name == row.Fixture).Index;
                Assert.All(row.Channels, c => Assert.Equal(
                    c.Attribute == "Pan" ? row.OldPan : row.OldTilt, (float)SmallVenue.Axis(stage, fixture, c.Attribute)));
            }
        }
    }
}
