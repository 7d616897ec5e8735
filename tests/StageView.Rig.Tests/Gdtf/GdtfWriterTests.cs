using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Photometry;
using StageView.Rig.Archives;
using StageView.Rig.Assets;
using StageView.Rig.Gdtf;
using StageView.Rig.Profiles;
using StageView.Rig.Source;

namespace StageView.Rig.Tests.Gdtf;

/// <summary>Our own profiles written as GDTF and read again: what drives the fixture and its light is the same.</summary>
public sealed class GdtfWriterTests
{
    public static TheoryData<string> Profiles =>
        [.. Directory.GetFiles(Repo.File("assets", "fixtures"), "*.fixture.jsonc").Select(f => Path.GetFileName(f)[..^14]).Order()];

    [Fact]
    public void A_rectangle_and_coloured_facets_are_kept()
    {
        var (own, back, _) = There("framed", """
            { "name": "framed", "wheels": [{ "name": "Prism", "slots": [{ "name": "Open" }, { "name": "Three", "facets": 3, "spread": 4,
              "facetColours": ["#ff0000", "#00ff00"] }] }],
              "geometry": [{ "name": "lens", "beam": { "beamAngle": [30, 20], "fieldAngle": 33, "outline": "rectangle" } }],
              "modes": [{ "name": "m", "channels": [{ "attribute": "Blade1A" }, { "attribute": "Prism1", "wheel": "Prism", "slots": ["Open", "Three"] }] }] }
            """);
        var (a, b) = (own.Modes[0].Geometry[0].Beam!, back.Modes[0].Geometry[0].Beam!);
        Assert.Equal((BeamForm.Rectangle, BeamForm.Rectangle), (a.Form, b.Form));
        Assert.Equal(Angles.Radians(20), a.BeamAngleUp, 1e-5f);
        Assert.Equal(new Vector3(a.BeamAngle, a.BeamAngleUp, a.FieldAngle), new Vector3(b.BeamAngle, b.BeamAngleUp, b.FieldAngle),
            (x, y) => Vector3.Distance(x, y) < 1e-3f);
        var (mine, theirs) = (own.Wheels[0].Slots[1].Facets, back.Wheels[0].Slots[1].Facets);
        Assert.Equal([new(1, 0, 0), new(0, 1, 0), new(1, 0, 0)], mine.Select(f => f.Colour));
        foreach (var (f, g) in mine.Zip(theirs))
        {
            Assert.Equal(0, MathF.IEEERemainder(f.AzimuthRadians - g.AzimuthRadians, MathF.Tau), 1e-3f);
            Assert.Equal(f.TurnRadians, g.TurnRadians, 1e-3f);
            Assert.True(Vector3.Distance(f.Colour, g.Colour) < .01f, $"{f.Colour} {g.Colour}");
        }
    }

    private static (FixtureProfile Own, FixtureProfile Back, IReadOnlyList<string> Notes) There(string name, string? text = null)
    {
        using var temp = new TempRig();
        if (text is not null)
        {
            temp.Write(name + ".fixture.jsonc", text);
        }

        var rig = temp.Load($"{{ \"hangs\": [ {{ \"name\": \"a\", \"profile\": \"{name}\" }} ] }}");
        var own = rig.Fixtures[0].Profile;
        var bytes = GdtfWriter.Write(own, rig, out var notes);
        var problems = new ProblemList();
        var options = new RigLoadOptions
        {
            DecodeImage = (ReadOnlyMemory<byte> _, out int size, out byte[] rgb, out string why) =>
            {
                (size, rgb, why) =
            (1, [255, 255, 255], ""); return true;
            }
        };
        var back = GdtfFile.Read(bytes, name + ".gdtf", new RigAssets(), options, problems, new ArchiveBudget());
        Assert.True(back is not null, string.Join('\n', problems.ToList()));
        Assert.DoesNotContain(back.NotUnderstood,
            n => n.StartsWith("element", StringComparison.Ordinal) || n.Contains("was not found", StringComparison.Ordinal)
            || n.Contains("there is no", StringComparison.Ordinal));
        return (own, back, notes);
    }

    [Theory]
    [MemberData(nameof(Profiles))]
    public void Channels_keep_their_addresses_and_what_they_mean(string name)
    {
        var (own, back, _) = There(name);
        Assert.Equal(own.Modes.Select(m => m.Name), back.Modes.Select(m => m.Name));
        foreach (var (a, b) in own.Modes.Zip(back.Modes))
        {
            foreach (var (c, d) in a.Channels.Zip(b.Channels.Take(a.Channels.Count)))
            {
                Assert.Equal((c.Break, c.Default, c.Highlight, c.Snap), (d.Break, d.Default, d.Highlight, d.Snap));
                Assert.Equal(c.Offsets, d.Offsets);
                foreach (var f in c.Functions)
                {
                    var g = d.Functions.Single(x => x.Attribute == f.Attribute && x.DmxFrom == f.DmxFrom && x.ModeFrom == f.ModeFrom);
                    Assert.Equal((f.DmxTo, f.ModeMaster, f.ModeTo, f.Wheel, f.Emitter), (g.DmxTo, g.ModeMaster, g.ModeTo, g.Wheel, g.Emitter));
                    Assert.Equal((f.PhysicalFrom, f.PhysicalTo), (g.PhysicalFrom, g.PhysicalTo));
                    Assert.Equal(f.Sets.Select(s => (s.DmxFrom, s.WheelSlot)), g.Sets.Select(s => (s.DmxFrom, s.WheelSlot)));
                }
            }
        }
    }

    [Theory]
    [MemberData(nameof(Profiles))]
    public void Geometry_beams_axes_and_colours_are_kept(string name)
    {
        var (own, back, _) = There(name);
        Assert.True(own.Emitters.Zip(back.Emitters).All(e => MathF.Abs(e.First.X - e.Second.X) < 1e-4f && MathF.Abs(e.First.Share - e.Second.Share) < 1e-3f));
        Assert.Equal((own.WeightKilograms, own.PowerWatts), (back.WeightKilograms, back.PowerWatts));
        Assert.All(own.Wheels.SelectMany(w => w.Slots).Zip(back.Wheels.SelectMany(w => w.Slots)), s =>
        {
            Assert.True(Vector3.Distance(s.First.Colour, s.Second.Colour) < .005f, $"{s.First.Name} {s.First.Colour} {s.Second.Colour}");
            Assert.Equal((s.First.GoboImage > 0, s.First.PrismFacets), (s.Second.GoboImage > 0, s.Second.PrismFacets));
            Assert.Equal(s.First.PrismSpread, s.Second.PrismSpread, .01f);
        });
        foreach (var (a, b) in own.Modes.Zip(back.Modes))
        {
            Pose[] World(FixtureMode m)
            {
                var world = new Pose[m.Geometry.Count];
                foreach (var g in m.Geometry)
                {
                    world[g.Index] = g.Parent < 0 ? g.Pose : world[g.Parent].Compose(g.Pose);
                }

                return world;
            }

            var (mine, theirs) = (World(a), World(b));
            foreach (var g in a.Geometry.Where(g => g.Beam is not null || g.Laser is not null || g.Axis is not null))
            {
                var wanted = GdtfText.Name(own.Modes.Count > 1 ? $"{a.Name} {g.Name}" : g.Name);
                var h = b.Geometry.Single(x => x.Name == wanted);
                Assert.True(Vector3.Distance(mine[g.Index].TransformPoint(Vector3.One), theirs[h.Index].TransformPoint(Vector3.One)) < 1e-4f, g.Name);
                if (g.Beam is { } beam)
                {
                    Assert.Equal((beam.Kind, beam.LuminousFlux, beam.ColourTemperature), (h.Beam!.Kind, h.Beam.LuminousFlux, h.Beam.ColourTemperature));
                    Assert.Equal(beam.BeamAngle, h.Beam.BeamAngle, 1e-4f);
                    Assert.Equal(beam.FieldAngle, h.Beam.FieldAngle, 1e-4f);
                }

                if (g.Axis is { TopSpeed: > 0 } axis
                    && a.Channels.Any(c => c.Geometry == g.Index && c.Functions.Any(f => f.Attribute is "Pan" or "Tilt" or "XYZ_Z")))
                {
                    Assert.Equal(axis.Motion, h.Axis!.Motion);
                    Assert.InRange(h.Axis.TopSpeed / axis.TopSpeed, .999f, 1.001f);
                    Assert.True(axis.Acceleration == 0 || MathF.Abs((h.Axis.Acceleration / axis.Acceleration) - 1) < .001f);
                }
            }
        }
    }

    /// <summary>A tube of pixels becomes references with offsets of their own.</summary>
    [Fact]
    public void Pixels_become_references()
    {
        var (own, back, notes) = There("pixel-tube");
        var mode = own.Modes[0];
        var grid = mode.Geometry[mode.PixelBlocks[0].Geometry].Pixels!;
        var order = mode.PixelBlocks[0].Order.Length;
        Assert.Empty(notes);
        Assert.Equal(mode.Footprints, back.Modes[0].Footprints);
        Assert.Equal(grid.Columns * grid.Rows * order, back.Modes[0].Channels.Count - mode.Channels.Count);
    }

    [Fact]
    public void What_the_format_can_not_hold_is_told() =>
    Assert.Contains(There("mirror-panel").Notes, n => n.Contains("the format has no mirrors", StringComparison.Ordinal));
}
