using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Geometry;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Rig.Profiles;
using static StageView.Stage.Tests.TestRig;

namespace StageView.Stage.Tests.Programs;

/// <summary>What channels do to a beam's outline and pictures (DIN SPEC 15800:2022-02, annex A): blades, forms, several gobos and prisms.</summary>
public sealed class ShapeTests
{
    private static readonly BeamData Spot = new()
    {
        BeamAngle = Angles.Radians(20), FieldAngle = Angles.Radians(22), ColourTemperature = 6504, LensRadius = .06f,
    };

    private static readonly float Rim = MathF.Tan(AngularProfile.FromBeamAndField(Angles.Radians(20), Angles.Radians(22)).CutoffRadians);

    private static readonly GoboImage[] Images = [.. new[] { "dots", "bars", "water", "ring" }.Select(n =>
        new GoboImage { Name = n, Size = 1, Rgb = [255, 255, 255], Transmission = 1 })];

    private static StageModel Stage(BeamData beam, (string Attribute, float From, float To)[] channels, params (int, int)[] levels)
    {
        var made = channels.Select((c, i) => Channel(i, 3, [i + 1], Function(c.Attribute, 0, 255, c.From, c.To))).ToArray();
        return With(Scene([Hang(Profile(HeadNodes(beam), made))]), TestRig.Levels(levels));
    }

    private static Blades Of(float? zoom, float focus, params (string Attribute, float Value)[] blades)
    {
        (string, float, float)[] more = [.. zoom is { } z ? [("Zoom", z, z)] : Array.Empty<(string, float, float)>(), ("Focus1", focus, focus)];
        return Stage(Spot, [.. blades.Select(b => (b.Attribute, b.Value, b.Value)), .. focus > 0 ? more : more[..^1]])
            .MomentAt(TimeSpan.Zero).Beams.Span[0].Blades;
    }

    private static void Near(Vector3 expected, Vector3 edge) => Assert.True(Vector3.Distance(expected, edge) < 1e-4f, $"{edge} and not {expected}");

    [Fact]
    public void Blades_come_in_from_the_top_the_right_below_and_the_left()
    {
        var all = Of(null, 0, ("Blade1A", .5f), ("Blade2A", .25f), ("Blade3A", 1), ("Blade4A", .75f));
        Assert.Equal(4, all.Count);
        Near(new(0, 1, .5f * Rim), all.First);
        Near(new(1, 0, .75f * Rim), all.Second);
        Near(new(0, -1, 0), all.Third);
        Near(new(-1, 0, .25f * Rim), all.Fourth);
        Assert.Equal(0, Of(null, 0, ("Blade1A", 0), ("Blade1B", 0), ("Blade1Rot", 20), ("ShaperRot", 45)).Count);
        Assert.Equal(0, Of(null, 0, ("Blade5A", 1)).Count);
    }

    /// <summary>The line through (-1, 1 - A) and (1, 1 - B), in units of the rim: A lies first clockwise, at the top on the left.</summary>
    [Fact]
    public void Ends_that_are_in_differently_tilt_a_blade()
    {
        var edge = Of(null, 0, ("Blade1A", 0), ("Blade1B", .6f)).First;
        Assert.Equal(edge.Z, Vector2.Dot(new(edge.X, edge.Y), new Vector2(-1, 1) * Rim), 1e-5f);
        Assert.Equal(edge.Z, Vector2.Dot(new(edge.X, edge.Y), new Vector2(1, .4f) * Rim), 1e-5f);
        Assert.Equal(1, new Vector2(edge.X, edge.Y).Length(), 1e-5f);
    }

    [Fact]
    public void A_blade_turns_and_so_does_the_assembly()
    {
        var (sin, cos) = MathF.SinCos(Angles.Radians(30));
        Near(new(-sin, cos, .8f * Rim), Of(null, 0, ("Blade1A", .2f), ("Blade1Rot", 30)).First);
        var two = Of(null, 0, ("Blade1A", .2f), ("Blade2A", .4f), ("ShaperRot", 30));
        Near(new(-sin, cos, .8f * Rim), two.First);
        Near(new(cos, sin, .6f * Rim), two.Second);
    }

    [Fact]
    public void Zoom_takes_blades_along()
    {
        var wide = MathF.Tan(AngularProfile.FromBeamAndField(Angles.Radians(40), Angles.Radians(44)).CutoffRadians);
        Near(new(0, 1, .5f * wide), Of(40, 0, ("Blade1A", .5f)).First);
    }

    /// <summary>A focus in metres makes edges sharp there; without one they are as soft as the beam: a tenth as far out as the field is.</summary>
    [Fact]
    public void Edges_are_as_soft_as_focus_or_beam_make_them()
    {
        Assert.Equal(0, Of(null, 8, ("Blade1A", .5f)).Softness);
        var own = Of(null, 0, ("Blade1A", .5f)).Softness;
        var x = (MathF.Tan(Angles.Radians(11)) - MathF.Tan(Angles.Radians(10))) / own;
        Assert.Equal(.1f, .5f - (x * (21 - (5 * x * x)) / 32), .005f);
        var frosted = Of(null, 8, ("Blade1A", .5f), ("Frost1", 1)).Softness;
        Assert.Equal(MathF.Tan(Angles.Radians(7)), frosted, 1e-4f);
    }

    [Fact]
    public void Explain_counts_what_blades_leave()
    {
        (string, float, float)[] channels = [("Blade4A", 0, 1), ("ShaperRot", -45, 45)];
        var open = Stage(Spot, channels).StateOf(new FixtureIndex(0), TimeSpan.Zero);
        var half = Stage(Spot, channels, (1, 255)).StateOf(new FixtureIndex(0), TimeSpan.Zero);
        Assert.All(half.Attributes, a => Assert.True(a.IsSimulated));
        Assert.Equal("deg", half.Attributes[1].Unit);
        Assert.Equal(.5f, half.Emitters[0].FluxLumens / open.Emitters[0].FluxLumens, .005f);
    }

    /// <summary>With a 16 by 9 rectangle of 20 degrees across the height is 2 atan(9/16 tan 10°); at every zoom the sides keep 16 by 9 on a wall.</summary>
    [Theory]
    [InlineData(null, 20)]
    [InlineData(50f, 50)]
    public void A_rectangle_keeps_its_sides_at_every_zoom(float? zoom, float across)
    {
        var data = Spot with { Form = BeamForm.Rectangle, BeamAngleUp = 2 * MathF.Atan(9f / 16 * MathF.Tan(Angles.Radians(10))) };
        var stage = Stage(data, zoom is { } z ? [("Zoom", z, z)] : []);
        var beam = stage.MomentAt(TimeSpan.Zero).Beams.Span[0];
        Assert.Equal(BeamForm.Rectangle, beam.Profile.Form);
        var side = MathF.Tan(Angles.Radians(across / 2));
        Assert.Equal(.5f, beam.Profile.Towards(side, 0, 1), 2e-3f);
        Assert.Equal(.5f, beam.Profile.Towards(0, side * 9 / 16, 1), 2e-3f);
        Assert.Equal(10_000, beam.FluxLumens, 1f);
        var told = stage.StateOf(new FixtureIndex(0), TimeSpan.Zero).Emitters[0];
        Assert.Equal(across, told.BeamDegrees, .01f);
        Assert.Equal(Angles.Degrees(2 * MathF.Atan(side * 9 / 16)), told.BeamDegreesUp, .01f);

        // Frost adds to both, so it rounds the rectangle off.
        var frosted = Stage(data, [("Frost1", 1, 1)]).MomentAt(TimeSpan.Zero).Beams.Span[0].Profile;
        Assert.True(frosted.Across.Y > beam.Profile.Across.Y);
    }

    private static Beam[] Beams(Wheel[] wheels, (string Attribute, int Wheel, float From, float To)[] channels, double at, params (int, int)[] levels)
    {
        var made = channels.Select((c, i) => Channel(i, 3, [i + 1], Function(c.Attribute, 0, 255, c.From, c.To) with { Wheel = c.Wheel })).ToArray();
        return With(Scene([Hang(Profile(HeadNodes(Spot), made, wheels))], [], [], Images), TestRig.Levels(levels))
            .MomentAt(TimeSpan.FromSeconds(at)).Beams.ToArray();
    }

    [Fact]
    public void Two_gobo_wheels_and_an_animation_wheel_stand_in_one_beam()
    {
        Wheel[] wheels = [new("G1", [new("Open", Vector3.One), new("dots", Vector3.One, 1)]),
            new("G2", [new("Open", Vector3.One), new("bars", Vector3.One, 2)]),
            new("A", [new("Open", Vector3.One), new("water", Vector3.One, 3)])];
        (string, int, float, float)[] channels = [("Gobo1", 0, 0, 1), ("Gobo1Pos", -1, 30, 30), ("Gobo2", 1, 0, 1), ("Gobo2PosRotate", -1, 45, 45),
            ("AnimationWheel1", 2, 0, 1), ("AnimationWheel1PosRotate", -1, 10, 10)];
        var b = Beams(wheels, channels, 1, (1, 255), (3, 255), (5, 255))[0];
        Assert.Equal((1, 2, 3), (b.Gobo.Image, b.SecondGobo.Image, b.ThirdGobo.Image));
        Assert.Equal(30, Angles.Degrees(b.Gobo.RotationRadians), .01f);
        Assert.Equal(45, Angles.Degrees(b.SecondGobo.RotationRadians), .01f);
        Assert.Equal(10, Angles.Degrees(b.ThirdGobo.RotationRadians), .01f);

        // The animation wheel is larger than the beam and stands beside it, so that its picture passes through: the beam never sees its rim.
        Assert.True(b.ThirdGobo.OffsetX > 1 && b.ThirdGobo.OffsetX + 1 < b.ThirdGobo.Radius);

        // Whatever is in comes first.
        var two = Beams(wheels, channels, 1, (3, 255), (5, 255))[0];
        Assert.Equal((2, 3, 0), (two.Gobo.Image, two.SecondGobo.Image, two.ThirdGobo.Image));
        Assert.Equal(0, Beams(wheels, channels, 1)[0].Gobo.Image);
    }

    [Fact]
    public void Two_prisms_multiply()
    {
        Wheel[] wheels = [new("P1", [new("Open", Vector3.One), new("Three", Vector3.One, 0, 3, .1f)]),
            new("P2", [new("Open", Vector3.One), new("Four", Vector3.One, 0, 4, .02f)])];
        (string, int, float, float)[] channels = [("Prism1", 0, 0, 1), ("Prism2", 1, 0, 1), ("Prism2Pos", -1, 45, 45)];
        var beams = Beams(wheels, channels, 0, (1, 255), (2, 255));
        Assert.Equal(12, beams.Length);
        Assert.Equal(12, beams.Select(b => b.Axis).Distinct().Count());
        Assert.All(beams, b => Assert.Equal(10_000f / 12, b.FluxLumens, .1f));
        var straight = Beams(wheels, channels, 0)[0].Axis;
        Assert.All(beams, b => Assert.InRange(MathF.Acos(Vector3.Dot(b.Axis, straight)), .079f, .121f));
        Assert.Equal(4, Beams(wheels, channels, 0, (2, 255)).Length);
        Assert.Equal(3, Beams(wheels, channels, 0, (1, 255)).Length);
    }

    /// <summary>Each facet's copy goes where the facet turns it, in its colour: a red one keeps .2126 of white's luminance (BT.709).</summary>
    [Fact]
    public void Facets_have_colours_and_directions_of_their_own()
    {
        PrismFacet[] own = [new(0, .1f, new(1, 0, 0)), new(MathF.PI / 2, .05f, Vector3.One), new(0, 0, new(.5f))];
        Wheel[] wheels = [new("P", [new("Open", Vector3.One), new("Three", Vector3.One, 0, 3, .1f) { Facets = own }])];
        var beams = Beams(wheels, [("Prism1", 0, 0, 1)], 0, (1, 255));
        var straight = Beams(wheels, [("Prism1", 0, 0, 1)], 0)[0];
        Assert.Equal(3, beams.Length);
        var red = beams[0];
        Assert.Equal(.1f, Vector3.Dot(red.Axis, straight.Right), 1e-3f);
        Assert.Equal(.05f, Vector3.Dot(beams[1].Axis, straight.Up), 1e-3f);
        Assert.True(Vector3.Distance(straight.Axis, beams[2].Axis) < 1e-5f);
        Assert.Equal(straight.FluxLumens / 3 / 2, beams[2].FluxLumens, 1f);
        Assert.Equal(straight.FluxLumens / 3 * .2126f, red.FluxLumens, .01f * straight.FluxLumens);
        Assert.True(red.Colour is { X: > 4, Y: < .1f, Z: < .1f }, $"{red.Colour}");
    }
}
