using System.Numerics;
using StageView.Light.Geometry;
using StageView.Light.Photometry;

namespace StageView.Light.Tests.Photometry;

/// <summary>Beams whose angles differ along their two axes.</summary>
public sealed class FormedProfileTests
{
    public static TheoryData<BeamForm, float, float, float> Beams => new()
    {
        { BeamForm.Ellipse, 12, 24, 1.12f }, { BeamForm.Ellipse, 70, 8, 1.6f }, { BeamForm.Rectangle, 24, 13.5f, 1.05f }, { BeamForm.Rectangle, 20, 20, 1.6f },
        { BeamForm.Rectangle, 90, 30, 1.4f }, { BeamForm.Rectangle, 3, 40, 1.1f },
    };

    /// <summary>Half the axis's intensity at the beam angle and a tenth at the field angle, along each axis by itself (CIE S 017, the two terms).</summary>
    [Theory]
    [MemberData(nameof(Beams))]
    public void Each_axis_has_its_own_beam_and_field_angle(BeamForm form, float x, float y, float ratio)
    {
        var profile = AngularProfile.FromTwoAngles(form, new Vector2(Angles.Radians(x), Angles.Radians(y)), ratio);
        Assert.Equal(1, profile.Towards(0, 0, 1), 1e-5f);
        Assert.Equal(.5f, profile.Towards(MathF.Tan(Angles.Radians(x / 2)), 0, 1), 1e-3f);
        Assert.Equal(.5f, profile.Towards(0, -MathF.Tan(Angles.Radians(y / 2)), 1), 1e-3f);
        Assert.Equal(.1f, profile.Towards(-MathF.Tan(Angles.Radians(x * ratio / 2)), 0, 1), 1e-3f);
        Assert.Equal(.1f, profile.Towards(0, MathF.Tan(Angles.Radians(y * ratio / 2)), 1), 1e-3f);
        Assert.Equal(0, profile.Towards(.1f, .1f, -1));
    }

    /// <summary>The lumens of a lamp that gives one candela for each of <see cref="AngularProfile.CandelaPerLumen"/> are added up over a sphere.</summary>
    [Theory]
    [MemberData(nameof(Beams))]
    public void All_intensities_together_are_one_lumen(BeamForm form, float x, float y, float ratio)
    {
        var profile = AngularProfile.FromTwoAngles(form, new Vector2(Angles.Radians(x), Angles.Radians(y)), ratio);
        const int rings = 1500, turns = 720;
        double sum = 0;
        for (var i = 0; i < rings; i++)
        {
            var theta = (i + .5f) * profile.CutoffRadians / rings;
            var (sin, cos) = MathF.SinCos(theta);
            for (var k = 0; k < turns; k++)
            {
                var (s, c) = MathF.SinCos((k + .5f) * MathF.Tau / turns);
                sum += profile.Towards(c * sin, s * sin, cos) * sin;
            }
        }

        Assert.Equal(1, sum * profile.CandelaPerLumen * profile.CutoffRadians / rings * Math.Tau / turns, 2e-3);
    }

    [Theory]
    [MemberData(nameof(Beams))]
    public void No_direction_has_more_than_its_angle_off_the_axis_allows(BeamForm form, float x, float y, float ratio)
    {
        var profile = AngularProfile.FromTwoAngles(form, new Vector2(Angles.Radians(x), Angles.Radians(y)), ratio);
        var lit = 0;
        for (var i = 0; i < 20_000; i++)
        {
            var theta = MathF.Min(1.55f, 1.1f * profile.CutoffRadians) * (i % 200) / 200;
            var (s, c) = MathF.SinCos(i / 200 * MathF.Tau / 100);
            var (sin, cos) = MathF.SinCos(theta);
            var here = profile.Towards(c * sin, s * sin, cos);
            lit += here > 0 ? 1 : 0;
            Assert.True(here <= profile.At(theta) + 1e-4f, $"{here} and not at most {profile.At(theta)} at {theta} rad, turn {i / 200}");
        }

        Assert.True(lit > 1000);
    }

    [Fact]
    public void An_ellipse_with_equal_angles_is_the_round_beam()
    {
        var round = AngularProfile.FromBeamAndField(Angles.Radians(20), Angles.Radians(20) * 1.3f);
        Assert.Equal(round, AngularProfile.FromTwoAngles(BeamForm.Ellipse, new Vector2(Angles.Radians(20)), 1.3f));
        var nearly = AngularProfile.FromTwoAngles(BeamForm.Ellipse, new Vector2(Angles.Radians(20), Angles.Radians(19.999f)), 1.3f);
        Assert.Equal(1, nearly.CandelaPerLumen / round.CandelaPerLumen, 1e-3f);
    }
}
