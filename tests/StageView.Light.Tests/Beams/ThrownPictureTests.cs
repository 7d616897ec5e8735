using System.Numerics;
using StageView.Ground.Indices;
using StageView.Light.Beams;
using StageView.Light.Moments;
using StageView.Light.Photometry;
using StageView.Light.Unfolding;

namespace StageView.Light.Tests.Beams;

public sealed class ThrownPictureTests
{
    private const float Wide = 16f / 9;

    // Nearly all of it as bright as its axis.
    private static readonly AngularProfile Flat = AngularProfile.FromBeamAndField(30 * MathF.PI / 180, 30.2f * MathF.PI / 180);

    private static readonly GoboImage White = ThrownPicture.Of("white", Wide, 256, (u0, v0, u1, v1) => new(Part(u0, u1) * Part(v0, v1)));

    // Red left, green right; the lower half black.
    private static readonly GoboImage Flag = ThrownPicture.Of("flag", Wide, 256, (u0, v0, u1, v1) =>
        v0 + v1 > 1 ? Vector3.Zero : u0 + u1 < 1 ? Vector3.UnitX : Vector3.UnitY);

    [Theory]
    [InlineData(30, 31, 1.7778f)]
    [InlineData(12, 24, 1.3333f)]
    [InlineData(50, 55, 0.5625f)]
    public void Lumens_are_those_of_a_white_picture(float beam, float field, float aspect)
    {
        var profile = AngularProfile.FromBeamAndField(beam * MathF.PI / 180, field * MathF.PI / 180);
        var white = ThrownPicture.Of("white", aspect, 256, (u0, v0, u1, v1) => new(Part(u0, u1) * Part(v0, v1)));
        var moment = Thrown(white, aspect, Projector with { Profile = profile });
        Assert.Equal(6000, BeamFlux.Passing(moment, moment.Beams.Span[0]), 6000 * 2e-3);
    }

    /// <summary>
    /// A picture of constant intensity I over the solid angle of its rectangle, Ω = 4 asin(ab / √((1 + a²)(1 + b²))) with a and b its half width and height at
    /// unit distance (Van Oosterom and Strackee, IEEE Trans. Biomed. Eng. 30, 1983): I = lumens / Ω, and I / d² in the middle.
    /// </summary>
    [Fact]
    public void The_middle_has_lumens_over_solid_angle_and_distance_squared()
    {
        var moment = Thrown(White, Wide, Projector);
        var half = ThrownPicture.Half(Wide) * MathF.Tan(Flat.CutoffRadians);
        var angle = 4 * Math.Asin(half.X * half.Y / Math.Sqrt((1 + (half.X * half.X)) * (1 + (half.Y * half.Y))));
        var beam = moment.Beams.Span[0];
        var candela = beam.PeakCandela * BeamPhotometry.Luminance(GoboSampling.Transmission(moment, beam, Vector3.UnitY));
        Assert.Equal(6000 / angle, candela, 6000 / angle * 0.02);
    }

    [Fact]
    public void It_stands_upright_in_its_colours_and_ends_at_its_edges()
    {
        var moment = Thrown(Flag, Wide, Projector);
        var half = ThrownPicture.Half(Wide) * MathF.Tan(Flat.CutoffRadians);
        Vector3 At(float x, float y) =>
            GoboSampling.Transmission(moment, moment.Beams.Span[0], Vector3.Normalize(new(x * half.X, 1, y * half.Y)));
        // Whoever stands at the projector sees red to the left.
        Assert.Equal(Vector3.UnitX, At(-0.5f, 0.5f));
        Assert.Equal(Vector3.UnitY, At(0.5f, 0.5f));
        Assert.Equal(Vector3.Zero, At(0.5f, -0.5f));
        Assert.Equal(Vector3.UnitY, At(0.96f, 0.96f));
        Assert.Equal(Vector3.Zero, At(1.04f, 0.5f));
        Assert.Equal(Vector3.Zero, At(0.5f, 1.04f));
    }

    [Fact]
    public void Gobos_stand_behind_it_and_other_fixtures_are_left_alone()
    {
        var other = Projector with { Fixture = new FixtureIndex(2), Gobo = new GoboState(1, 0, 0) };
        var builder = new MomentBuilder { GoboImages = [Flag] };
        builder.Begin();
        builder.Add(Projector with { Gobo = new GoboState(1, 0.5f, 0) });
        builder.Add(other);
        builder.Throw(White, Wide, f => f == Projector.Fixture);
        var moment = builder.Build(TimeSpan.Zero);
        Assert.Equal((2, 1), (moment.Beams.Span[0].Gobo.Image, moment.Beams.Span[0].SecondGobo.Image));
        Assert.Equal((1, 0, 6000f), (moment.Beams.Span[1].Gobo.Image, moment.Beams.Span[1].SecondGobo.Image, moment.Beams.Span[1].FluxLumens));

        // The next instant throws nothing.
        builder.Begin();
        builder.Add(other);
        Assert.Equal((1, 0), (builder.Build(TimeSpan.Zero) is var next ? next.GoboImages.Count : 0, next.ThrownImages));
    }

    [Fact]
    public void A_moment_as_bytes_carries_the_picture_and_the_rig_s_tables_don_t()
    {
        var builder = new MomentBuilder { GoboImages = [White] };
        builder.Begin();
        builder.Add(Projector);
        builder.Throw(Flag, Wide, _ => true);
        var moment = builder.Build(TimeSpan.FromSeconds(2));
        byte[] buffer = [];
        var length = MomentBytes.Write(moment, ref buffer);
        var tables = MomentBytes.ReadTables(MomentBytes.WriteTables(moment));
        Assert.Equal(["white"], tables.GoboImages.Select(g => g.Name));
        var read = MomentBytes.Read(buffer.AsSpan(0, length), tables);
        Assert.Equal((2, 1, 2), (read.GoboImages.Count, read.ThrownImages, read.Beams.Span[0].Gobo.Image));
        Assert.Equal(Flag.Rgb, read.GoboImages[1].Rgb);
        Assert.Throws<InvalidDataException>(() => MomentBytes.Read(buffer.AsSpan(0, length - 1), tables));
    }

    private static readonly Beam Projector = new()
    {
        Fixture = new FixtureIndex(1),
        Axis = Vector3.UnitY,
        Up = Vector3.UnitZ,
        Colour = Vector3.One,
        FluxLumens = 6000,
        Profile = Flat,
        Iris = 1,
    };

    private static Moment Thrown(GoboImage picture, float aspect, Beam beam)
    {
        var builder = new MomentBuilder();
        builder.Begin();
        builder.Add(beam);
        builder.Throw(picture, aspect, _ => true);
        return builder.Build(TimeSpan.Zero);
    }

    private static float Part(float from, float to) => Math.Max(0, Math.Min(to, 1) - Math.Max(from, 0)) / (to - from);
}
